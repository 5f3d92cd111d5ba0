"""Translations are of texts that the catalogue has: one of a text that was changed since is stale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.papers.draft import Draft, entries
from service.papers.faults import Report

SECTION = "translations"


def check_translations(draft: Draft, report: Report) -> None:
    """Check that every text that is translated stands somewhere else in the document."""
    texts = {text for section, value in draft.items() if section != SECTION for text in _texts(value)}
    for code, told in entries(draft[SECTION]):
        for text in told:
            if text not in texts:
                path = (SECTION, code, text)
                report.add("translation_of_nothing", path, f"no text of this catalogue is '{text}'")


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for _, inner in entries(value):
            yield from _texts(inner)
