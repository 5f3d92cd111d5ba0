"""A software plan for a person at a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.lists import catalogue
from service.words.language import Language

Shown = Mapping[str, Any]


def software_plan(data: Shown, said: Language) -> str:
    """The answer, then the loads, then what hangs on what."""
    paragraphs = [data["summary"], "\n".join(_steps(data))]
    paragraphs += ["\n".join([each["text"], *_steps(each)]) for each in data["cases"]]
    paragraphs += [data["ask"]["question"]] if data["ask"] else []
    told = [paragraph for paragraph in paragraphs if paragraph]
    return "\n\n".join([*told, catalogue(data, said)]) + "\n"


def _steps(of: Shown) -> Iterator[str]:
    yield from (f"{at}. {step['text']}" for at, step in enumerate(of["steps"], start=1))
    yield from (f"- {reason['text']}" for reason in of["reasons"])
