"""Every event has its sentences: of every kind, with every field, and with nothing left open in them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from string import Formatter
from typing import Any

import pytest

from service.demo import serials as s
from service.demo.world import demo_catalogue, demo_events
from service.domain.ledger.event import EventKind
from service.domain.ledger.fields import FieldTable, FieldType
from service.domain.ledger.kinds import KINDS
from service.domain.ledger.programming import RECORDABLE
from service.domain.ledger.schemas import HOLDS
from service.papers import read_catalogue
from service.words import event_texts as texts
from service.words.events import NAMED, PLAIN, event_text
from service.words.language import language
from service.words.names import Names
from tests.words.test_nothing_is_said_past_gettext import Bracketed, outside

NAMES = Names(read_catalogue(demo_catalogue()), language("en"))

VALUES: Mapping[str, Any] = {
    "board": s.BLANK_MAIN,
    "unit": s.CUSTOMER_PLOVER_40,
    "into": s.CUSTOMER_PLOVER_60,
    "role": "main",
    "part": "MN-4100",
    "model": "plover-40",
    "bound_model": "plover-60",
    "market": "isles",
    "accessory": "battery_pack",
    "holds": s.CUSTOMER_PLOVER_60,
    "place": "",
}


def whole(table: FieldTable) -> dict[str, Any]:
    """Data with every field of a table."""
    found: dict[str, Any] = {}
    for name, field in table.items():
        match field.type:
            case FieldType.BLOCK:
                found[name] = whole(field.of or {})
            case FieldType.LIST:
                found[name] = [whole(field.of or {})]
            case FieldType.CHOICE:
                found[name] = field.choices[-1]
            case FieldType.WHOLE:
                found[name] = 7
            case FieldType.FLAG:
                found[name] = True
            case _:
                found[name] = VALUES.get(name, f"<{name}>")
    return found


def variants(kind: str) -> Iterator[dict[str, Any]]:
    """Data of a kind with every field and with the required ones only, and with every choice and flag."""
    table = KINDS[kind].fields
    full = whole(table)
    choices = {name: field.choices for name, field in table.items() if field.type is FieldType.CHOICE}
    flags = {name: (True, False) for name, field in table.items() if field.type is FieldType.FLAG}
    options = {**choices, **flags}
    for chosen in product(*options.values()):
        data = {**full, **dict(zip(options, chosen, strict=True))}
        yield data
        if "holds" in data:
            yield {**data, "holds": ""}
        yield {
            name: value for name, value in data.items() if table[name].required or name in ("board", "unit")
        }
        for alone in ("board", "unit"):
            if alone in data and not table[alone].required:
                yield {name: value for name, value in data.items() if name != alone}


@pytest.mark.parametrize("kind", [kind.value for kind in EventKind])
def test_it_is_said_in_whole_sentences(kind: str) -> None:
    said = [event_text(kind, data, NAMES) for data in variants(kind)]
    for text in said:
        assert text[0].isupper(), text
        assert text.endswith("."), text
        assert "{" not in text, text
        assert "  " not in text, text
        assert "the ." not in text, text
    assert len(said) >= 2


@pytest.mark.parametrize("kind", [kind.value for kind in EventKind])
def test_it_is_said_through_gettext(kind: str) -> None:
    bracketed = Names(NAMES.catalogue, type(NAMES.language)("xx", Bracketed()))
    for data in variants(kind):
        assert outside(event_text(kind, data, bracketed)).strip() == "", data


def test_every_kind_step_and_hold_has_its_text_and_every_text_its_code() -> None:
    kinds = {kind.value for kind in EventKind}
    assert set(texts.EVENTS) == set(texts.MEANINGS) == kinds
    assert set(texts.STEPS) == {step.value for step in RECORDABLE}
    assert set(texts.HOLDS) == set(HOLDS)
    assert set(texts.CAUSES) == set(KINDS["exposed"].fields["to"].choices)
    assert set(texts.CONFIRMED_BY) == set(KINDS["hold_lifted"].fields["confirmed_by"].choices)


def test_every_text_is_said_sometime() -> None:
    every = {*texts.EVENTS.values(), *texts.VARIANTS.values(), *texts.DETAILS.values(), *texts.STEPS.values()}
    heard: set[str] = set()

    class Listening(Bracketed):
        def gettext(self, message: str) -> str:
            heard.add(message)
            return message

    names = Names(NAMES.catalogue, type(NAMES.language)("xx", Listening()))
    for kind in EventKind:
        for data in variants(kind.value):
            event_text(kind.value, data, names)
    assert every - heard == set()


def test_texts_speak_of_the_facts_that_are_given() -> None:
    tables = (texts.EVENTS, texts.VARIANTS, texts.DETAILS, texts.STEPS)
    spoken = {
        name
        for table in tables
        for text in table.values()
        for _, name, _, _ in Formatter().parse(text)
        if name
    }
    assert spoken == {*PLAIN, *NAMED, "subject", "step"}


def test_the_demos_diary_names_boards_and_machines() -> None:
    """A board is called by its role and serial, a unit by its model and serial."""
    for draft in demo_events():
        text = event_text(draft.kind, draft.data, NAMES)
        for name in ("board", "unit"):
            if name in draft.data:
                assert draft.data[name] in text
        assert "The board TB" not in text
