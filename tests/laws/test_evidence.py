"""How readings, records and claims of a binding combine: by name, and in every combination.

The first table says it in the words of the trade (common practice, no source). The second holds the service
against brute force over every combination of a record, a reading and a claim, on units of three models.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from tests.laws import compare
from tests.laws.cases import Question
from tests.oracles import plain_serials
from tests.oracles.brute_force import Table
from tests.oracles.catalogues import procedures
from tests.oracles.evidence import Bindings, combined
from tests.oracles.questions import Asked

A, B, C, BLANK = "m1", "m2", "m3", "blank"
MODELS = frozenset({A, B})
"""The models that the part is listed for; a third is known, and the part not listed for it."""

NAMED: dict[str, tuple[dict[str, Any], set[str], bool]] = {
    "nobody says anything": ({}, {BLANK, A, B}, False),
    "a reading is believed": ({"read": A}, {A}, False),
    "a claim is all there is": ({"claimed": A}, {A}, False),
    "used is not blank": ({"claimed": "used"}, {A, B}, False),
    "a model after blank is growth": ({"record": {"values": [BLANK]}, "read": A}, {A}, False),
    "growth among claims too": ({"record": {"values": [BLANK]}, "claimed": A}, {A}, False),
    "a used board was blank once": ({"record": {"values": [BLANK]}, "claimed": "used"}, {A, B}, False),
    "blank after a model": ({"record": {"values": [A]}, "read": BLANK}, {A, BLANK}, True),
    "two models": ({"record": {"values": [A]}, "read": B}, {A, B}, True),
    "a model it is not listed for": ({"record": {"values": [A]}, "read": C}, {A, C}, True),
    "a reading against a claim of another model": ({"read": A, "claimed": B}, {A}, False),
    "a blank reading against a claimed model": ({"read": BLANK, "claimed": A}, {BLANK}, False),
    "a record against a claim of another model": ({"record": {"values": [A]}, "claimed": B}, {A}, False),
    "a claim of blank after a record": ({"record": {"values": [A]}, "claimed": BLANK}, {A}, False),
    "a claim narrows a record": ({"record": {"any_model": True}, "claimed": A}, {A}, False),
    "a reading narrows a record": ({"record": {"any_model": True}, "read": A}, {A}, False),
    "a claim narrows an expired blank": ({"record": {"values": [BLANK, A]}, "claimed": A}, {A}, False),
    "an expired blank may have grown": ({"record": {"values": [BLANK, A]}, "claimed": B}, {B}, False),
    "a used board may be bound to any": ({"record": {"any_model": True}, "claimed": C}, {C}, False),
    "a reading after an expired blank": ({"record": {"values": [BLANK, A]}, "read": BLANK}, {BLANK}, False),
    "a contradiction stays one": (
        {"record": {"values": [A, B], "contradiction": True}, "read": A, "claimed": A},
        {A, B},
        True,
    ),
}


@pytest.mark.parametrize("name", NAMED)
def test_evidence_combines(name: str) -> None:
    said, values, contradiction = NAMED[name]
    assert combined(MODELS, **said) == Bindings(frozenset(values), contradiction)


RECORDS: list[dict[str, Any] | None] = [
    None,
    {"values": [BLANK]},
    {"values": [A]},
    {"values": [BLANK, A]},
    {"any_model": True},
    {"values": [A, B], "contradiction": True},
    {"values": [A, BLANK], "contradiction": True},
]
READINGS = (None, BLANK, A, B)
CLAIMS = (None, BLANK, "used", A, B, C)


def word(said: str) -> dict[str, str]:
    return {"binding": "bound", "bound_model": said} if said in (A, B, C) else {"binding": said}


def catalogue() -> dict[str, Any]:
    """One naming part for two of three models, and a follower for all that takes no programming to stay."""
    roles = ("brain",)
    text = {"where": "inside", "recognise": "by its label", "functions": {}}
    models = {m: {"name": m, "family": "fam", "roles": {"brain": {}}} for m in (A, B, C)}
    rows = [{"models": [A, B]}]
    return {
        "format": 1,
        "maker": "Nobody",
        "dealer": "No Shop",
        "currency": "EUR",
        "markets": {"north": "North"},
        "schemes": [
            plain_serials.unit_scheme({f"{m[1]}K": [m] for m in models}),
            plain_serials.board_scheme(),
        ],
        "roles": {role: {"name": role, **text} for role in roles},
        "families": {"fam": {"name": "Fam", "procedures": procedures()}},
        "models": models,
        "parts": [
            {"number": "BRAIN-1", "name": "one", "role": "brain", "binding": "names", "fits": rows},
            {
                "number": "BRAIN-2",
                "name": "two",
                "role": "brain",
                "binding": "names",
                "fits": [{"models": [C]}],
            },
        ],
    }


def question(model: str, record: dict[str, Any] | None, read: str | None, claimed: str | None) -> Question:
    serial = f"{plain_serials.BOARD_PREFIX}00001"
    board: dict[str, Any] = {"role": "brain", "serial": serial}
    if read:
        board["read"] = word(read)
    if claimed:
        board["claimed"] = word(claimed)
    known = {"part": "BRAIN-1", **({"binding": record} if record else {})}
    document = catalogue()
    body = {"unit": {"model": model, "market": "north", "made_on": "2024-05-01"}, "boards": [board]}
    asked = Asked(document, body, {"boards": {serial: known}, "units": {}})
    return Question(0, asked, Table(document, asked.question, asked.records, most=100), frozenset())


@pytest.mark.parametrize("record", RECORDS, ids=str)
def test_the_service_combines_evidence_as_brute_force_does(record: dict[str, Any] | None) -> None:
    found = []
    for model, read, claimed in product((A, B), READINGS, CLAIMS):
        each = question(model, record, read, claimed)
        answer, wanted = compare.asked_of_engine(each.asked), compare.of_question(each)
        if {key: answer[key] for key in wanted} != wanted:
            found.append(
                f"unit {model}: record {record}, read {read}, claimed {claimed}: {answer}, wanted {wanted}"
            )
    assert found == []
