"""An upgrade answer for a person at a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.lists import amounts, catalogue, caution
from service.words.language import Language

Shown = Mapping[str, Any]


def upgrade(data: Shown, said: Language) -> str:
    """The answer, then each plan with its lines and steps."""
    paragraphs = [data["summary"]]
    for case in data["cases"]:
        paragraphs += [said.titled(case["text"])] if len(data["cases"]) > 1 else []
        paragraphs += ["\n".join(_plan(each, said)) for each in case["plans"]]
        paragraphs += ["\n".join(each["text"] for each in case["reasons"])] if case["reasons"] else []
    paragraphs += [data["ask"]["question"]] if data["ask"] else []
    return "\n\n".join([*paragraphs, catalogue(data, said)]) + "\n"


def _plan(of: Shown, said: Language) -> Iterator[str]:
    yield of["text"]
    yield from (f"  {each['text']}" for each in of["needs_first"])
    if of["quote"] is not None:
        yield from (f"  {row}" for row in amounts(of["quote"], said))
    yield from (f"  {each['text']}" for each in ([of["gain"]] if of["gain"] else []))
    yield from (f"  {each['text']}" for each in of["shipping"])
    yield from (f"  - {each['text']}" for each in of["steps"])
    yield from (f"  {caution(each, said)}" for each in of["cautions"])
