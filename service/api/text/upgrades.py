"""An upgrade answer for a person at a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.lists import amounts, catalogue, caution
from service.words.language import Language
from service.words.steps import by_whom

Shown = Mapping[str, Any]


def upgrade(data: Shown, said: Language) -> str:
    """The answer, then each plan with its lines and steps."""
    paragraphs = [data["summary"]]
    for case in data["cases"]:
        several = len(data["cases"]) > 1
        paragraphs += [f"— {case['text'][:1].upper()}{case['text'][1:]} —"] if several else []
        paragraphs += ["\n".join(_plan(each, said)) for each in case["plans"]]
        # Of a single case the summary above has said it.
        paragraphs += [case["summary"]] if several and not case["plans"] else []
        instead = list(_instead(case, worth=several or case["outcome"] != "possible"))
        instead = [each for each in instead if several or each not in data["summary"]]
        paragraphs += ["\n".join(instead)] if instead else []
    paragraphs += [data["ask"]["question"]] if data["ask"] else []
    return "\n\n".join([*paragraphs, catalogue(data, said)]) + "\n"


def _instead(case: Shown, *, worth: bool) -> Iterator[str]:
    """The sum behind the word on worth, then the new machines."""
    if worth and case["worth"] is not None and case["worth"]["text"]:
        yield case["worth"]["text"]
    yield from (each["text"] for each in case["trade_ups"])


def _plan(of: Shown, said: Language) -> Iterator[str]:
    yield " ".join([*(each["text"] for each in of["needs_first"]), of["text"]])
    if of["quote"] is not None:
        yield from (f"  {row}" for row in amounts(of["quote"], said))
    yield from (f"  {each['text']}" for each in ([of["gain"]] if of["gain"] else []))
    yield from (f"  {each['text']}" for each in of["shipping"])
    yield from (f"  - {_step(each, said)}" for each in of["steps"])
    yield from (f"  {caution(each, said)}" for each in of["cautions"])


def _step(of: Shown, said: Language) -> str:
    minutes = of["minutes"]
    return f"{of['text']} ({by_whom(of['who'], minutes['least'], minutes['most'], said)})"
