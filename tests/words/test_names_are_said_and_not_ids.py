"""Where the catalogue gives a name, the name is said and not the id.

Every id of a shop's catalogue is renamed to one that no text can contain by chance, in its questions and its
events too; the shop is asked all its questions again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from service.api.asking import question
from service.api.schemas.question import FitQuestion
from service.demo.world import demo_catalogue, demo_events
from service.domain.facts.question import ImpossibleQuestion
from service.domain.ledger.event import Draft
from tests.papers.documents import as_data, as_text
from tests.support.cases import answer
from tests.trade.case_files import cases
from tests.trade.shops import CATALOGUES, Shop, opened
from tests.words.said import Heard, phrases, sentences, whole

MARK = "zqx"
NAMED = ("markets", "features", "accessories", "roles", "capabilities", "families", "models")
"""The parts of a catalogue whose keys are ids with a name."""


def ids(document: Mapping[str, Any]) -> dict[str, str]:
    """Each id with its new one."""
    keys = {key for part in NAMED for key in document.get(part, {})}
    keys |= {key for role in document["roles"].values() for key in role.get("functions", {})}
    return {key: f"{key}{MARK}" for key in keys}


def renamed(value: Any, new: Mapping[str, str], inside: str = "") -> Any:
    """The value with every id renamed; what people read stays."""
    if isinstance(value, dict):
        return {new.get(key, key): renamed(each, new, key) for key, each in value.items()}
    if isinstance(value, list):
        return [renamed(each, new, inside) for each in value]
    read_by_people = inside in ("name", "where", "recognise") or inside.removesuffix(MARK) in new
    return new.get(value, value) if isinstance(value, str) and not read_by_people else value


def renamed_shop(name: str) -> tuple[Shop, dict[str, str]]:
    demo = name == "demo"
    text = demo_catalogue() if demo else (CATALOGUES / f"{name}.yaml").read_text(encoding="utf-8")
    document = as_data(text)
    new = ids(document)
    drafts = [
        Draft(kind=each.kind, occurred_at=each.occurred_at, data=renamed(each.data, new))
        for each in (demo_events() if demo else ())
    ]
    return opened(as_text(catalogue_of(document, new)), drafts), new


def catalogue_of(document: Mapping[str, Any], new: Mapping[str, str]) -> dict[str, Any]:
    """The document renamed; the names in its lists of names are values of ids, and stay. So do its
    translations, whose keys are texts."""
    return {
        key: value if key == "translations" else renamed(value, new, "" if isinstance(value, dict) else key)
        for key, value in document.items()
    }


def asked_again(name: str) -> Iterator[Heard]:
    shop, new = renamed_shop(name)
    for case in cases():
        if case.name.startswith(f"{name}/") and "question" in case.given:
            put = question(FitQuestion().load(renamed(case.given["question"], new)))
            try:
                found = answer(
                    shop.compiled, put, shop.records(put, renamed(case.given.get("events", []), new))
                )
            except ImpossibleQuestion:
                continue
            yield Heard(case.name, found, shop.names)


@pytest.mark.parametrize("name", ["demo", "trade_practice", "second_maker"])
def test_no_id_is_said(name: str) -> None:
    found = list(asked_again(name))
    assert len(found) >= 20
    for each in found:
        said = [*sentences(each), *phrases(each), whole(each)]
        assert [text for text in said if MARK in text] == [], each.name


def test_renamed_catalogues_answer_alike() -> None:
    """The check asks what the cases ask: the outcomes are the cases' own."""
    found = {each.name: str(each.answer.outcome) for each in asked_again("trade_practice")}
    wanted = {case.name: case.expect.get("outcome") for case in cases()}
    assert found == {name: wanted[name] for name in found}
