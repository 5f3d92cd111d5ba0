"""Cases are files: what is given, and what a careful dealer answers.

    says: one sentence of the trade, or who asks and why
    given:
      question: a fit question as it is sent to the service
      events: [{fitted: {board: …}}]      # what happened in the shop besides; left out: nothing
    or
      look_up: a look-up of parts
    expect: what `told` calls by these names
    xfail: why the answer is not yet so    # strict

The folder is the shop. A serial may be called by its name in the demo (`USED_MAIN_60`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from service.api.asking import question
from service.api.schemas.question import FitQuestion
from service.domain.facts.question import ImpossibleQuestion
from service.domain.fit.answer import Answer
from tests.support.cases import answer
from tests.trade.shops import Shop, shop

FOLDER = Path(__file__).parent / "cases"
FIELDS = {"says", "given", "expect", "xfail"}
GIVEN = {"question", "events", "look_up"}


class _Loader(yaml.SafeLoader):
    """Reads `yes`, `no` and days as the words that they are."""


_Loader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if not tag.endswith((":bool", ":timestamp"))]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
_Loader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("(?:true|false)$"), list("tf"))


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """One case file, its serials in full."""

    name: str
    shop: Shop
    given: Mapping[str, Any]
    expect: Mapping[str, Any]
    xfail: str | None


def read(path: Path) -> Case:
    document = yaml.load(path.read_text(encoding="utf-8"), Loader=_Loader)  # noqa: S506 - a safe loader still
    assert document.keys() <= FIELDS, f"{path.name}: {document.keys() - FIELDS}"
    assert document["says"], "a case says what it is about"
    assert document["given"].keys() <= GIVEN, f"{path.name}: {document['given'].keys() - GIVEN}"
    where = shop(path.parent.name)
    given = in_full(document["given"], where.serials)
    return Case(f"{path.parent.name}/{path.stem}", where, given, document["expect"], document.get("xfail"))


def in_full(value: Any, serials: Mapping[str, str]) -> Any:
    """The value with every serial that is called by its name written out."""
    if isinstance(value, dict):
        return {key: in_full(each, serials) for key, each in value.items()}
    if isinstance(value, list):
        return [in_full(each, serials) for each in value]
    return serials.get(value, value) if isinstance(value, str) else value


@cache
def cases() -> tuple[Case, ...]:
    return tuple(read(path) for path in sorted(FOLDER.glob("*/*.yaml")))


def parameters(kind: str) -> list[Any]:
    """The cases of a kind, `question` or `look_up`, named after their files."""
    return [pytest.param(case, id=case.name, marks=marks(case)) for case in cases() if kind in case.given]


def marks(case: Case) -> list[pytest.MarkDecorator]:
    return [pytest.mark.xfail(reason=case.xfail, strict=True)] if case.xfail else []


def answered(case: Case) -> Answer | ImpossibleQuestion:
    """What the service answers to the case's question."""
    asked = question(FitQuestion().load(case.given["question"]))
    records = case.shop.records(asked, case.given.get("events", ()))
    try:
        return answer(case.shop.compiled, asked, records)
    except ImpossibleQuestion as fault:
        return fault
