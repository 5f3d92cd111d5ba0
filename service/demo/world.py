"""The demo's world whole: the catalogue's text, and the ledger's events from an empty shop to today."""

from __future__ import annotations

from pathlib import Path

from service.demo.diary import Diary
from service.demo.stock import bench, boxes, fleet
from service.demo.stories import customers, donors, packs, shelf, swaps
from service.domain.ledger.event import Draft

CATALOGUE = Path(__file__).with_name("catalogue.yaml")


def demo_catalogue() -> str:
    """The text of the demo's catalogue file."""
    return CATALOGUE.read_text(encoding="utf-8")


def demo_events() -> list[Draft]:
    """What happened in the demo's shop, in the order in which it is recorded; the same on every call."""
    diary = Diary()
    for chapter in (customers, packs, donors, swaps, shelf, fleet, boxes, bench):
        chapter(diary)
    return diary.drafts
