"""The demo's database, for the commands that ask it. What makes it is much to load, so others do without."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from service.demo.making import make_or_reuse
from service.settings import Settings

DEMO_FILE = Path("boardfit-demo.db")


def of_demo(settings: Settings, file: Path = DEMO_FILE) -> Settings:
    """The settings with the demo's database, which is made where it is missing."""
    made = make_or_reuse(file)
    return replace(settings, database_url=f"sqlite:///{made}")
