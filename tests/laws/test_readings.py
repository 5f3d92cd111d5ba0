"""Meanings that one sentence settles, each as the smallest question that shows it.

Brute force over worlds keeps to them; each is named here by itself, so that a change of one is seen as that
and not as a law that broke somewhere. All but the last are common practice of the trade, with no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.laws import compare
from tests.oracles import plain_serials
from tests.oracles.answers import answer
from tests.oracles.brute_force import Table
from tests.oracles.catalogues import procedures
from tests.oracles.questions import Asked

TEXT = {"where": "inside", "recognise": "by its label", "functions": {}}
M1, M2 = "TKA21000", "TKB31000"
"""Plates of a unit of each model."""
OTHER = "TKA27001"
"""Of another unit, in service."""


def shop(family: dict[str, Any]) -> dict[str, Any]:
    """Two models, the second sold in one market only; a naming role, a following one, and a knob beside."""
    parts = [
        {
            "number": "BRAIN",
            "name": "brain",
            "role": "brain",
            "binding": "names",
            "fits": [{"models": ["m1", "m2"]}],
        },
        {
            "number": "FACE",
            "name": "face",
            "role": "face",
            "binding": "follows",
            "fits": [{"models": ["m1", "m2"]}],
        },
        {
            "number": "FACE-N",
            "name": "newer",
            "role": "face",
            "binding": "follows",
            "replaces": [{"part": "FACE"}],
        },
        {"number": "LOOKALIKE", "name": "plain face", "role": "face", "fits": [{"models": ["m2"]}]},
        {
            "number": "KNOB",
            "name": "knob",
            "role": "knob",
            "binding": "follows",
            "fits": [{"models": ["m1"]}],
        },
    ]
    roles = {"brain": {}, "face": {}, "knob": {"required": False}}
    return {
        "format": 1,
        "maker": "Nobody",
        "dealer": "No Shop",
        "currency": "EUR",
        "markets": {"north": "North", "south": "South"},
        "schemes": [
            plain_serials.unit_scheme({"A2": ["m1"], "B3": ["m2"], "U4": ["u1"]}),
            plain_serials.board_scheme(),
        ],
        "roles": {role: {"name": role, **TEXT} for role in roles},
        "families": {
            "fam": {"name": "Fam", "procedures": procedures(), **family},
            "fu": {"name": "U", "covered": False},
        },
        "models": {
            "m1": {"name": "One", "family": "fam", "roles": roles},
            "m2": {"name": "Two", "family": "fam", "roles": {"brain": {}, "face": {}}, "markets": ["north"]},
            "u1": {"name": "Three", "family": "fu", "markets": ["north"]},
        },
        "parts": parts,
    }


def optional_brain() -> dict[str, Any]:
    """The same, with a second model that has no brain of its own unless one is put in."""
    document = shop({})
    document["parts"][0]["fits"] = [{"models": ["m1"]}, {"models": ["m2"], "date_from": "2024-01-01"}]
    document["models"]["m2"]["roles"] = {"brain": {"required": False}, "face": {}}
    return document


def knob_everywhere() -> dict[str, Any]:
    """The same, where the second model may have a knob too, for which no part is listed."""
    document = shop({})
    document["models"]["m2"]["roles"] = {"brain": {}, "face": {}, "knob": {"required": False}}
    return document


def bound(model: str) -> dict[str, Any]:
    return {"binding": "bound", "bound_model": model}


USED = {"values": ["m1"]}
RECORD = {"registered": True, "in_service": True, "model": "m1"}
Case = tuple[
    dict[str, Any], dict[str, Any], list[dict[str, Any]], dict[str, Any], tuple[str, str, str | None]
]
"""A catalogue, a unit, proposed boards, records, and the fit, programming and cause."""

NO, ALWAYS = ("no", "not_applicable", None), {"enter_serial": "always", "another_serial": "allowed"}
CASES: dict[str, Case] = {
    "a reading of a model that the part is not listed for is a fact, and no contradiction": (
        shop({}),
        {"serial": M1},
        [{"role": "brain", "part": "BRAIN", "read": {**bound("u1"), "holds": "TKU41000"}}],
        {},
        NO,
    ),
    "the same where the unit's model is not covered: the board's own no stands": (
        shop({}),
        {"serial": "TKU41000"},
        [{"role": "knob", "part": "KNOB", "claimed": bound("m2")}],
        {},
        NO,
    ),
    "a blank reading decides against a claimed holder too": (
        shop({}),
        {"serial": M1},
        [{"role": "brain", "part": "BRAIN", "read": {"binding": "blank"}, "claimed": {"holds": OTHER}}],
        {"units": {OTHER: RECORD}},
        ("yes", "needed", None),
    ),
    "a board of unknown holder may hold the serial of this very unit": (
        shop(ALWAYS),
        {"serial": M1, "boards": [{"role": "face", "introduced": True}, {"role": "knob", "empty": True}]},
        [{"role": "brain", "part": "BRAIN", "claimed": bound("m1")}],
        {},
        ("yes", "unknown", None),
    ),
    "another part than the factory's says that a board was changed": (
        shop({}),
        {"serial": M1, "boards": [{"role": "face", "part": "FACE-N"}]},
        [{"role": "knob", "part": "KNOB", "claimed": bound("m1"), "introduced": True}],
        {},
        ("yes", "unknown", None),
    ),
    "a naming board that was changed once leaves open whether its follower was introduced again": (
        shop({}),
        {"serial": M1},
        [{"role": "knob", "part": "KNOB", "claimed": bound("m1"), "introduced": True}],
        {
            "boards": {"BRD00001": {"part": "BRAIN", "binding": USED, "in_unit": M1}},
            "units": {M1: {**RECORD, "boards": {"brain": "BRD00001"}, "changed": ["brain"]}},
        },
        ("yes", "unknown", None),
    ),
    "what the unit's own main board reads is a witness where there is no other": (
        shop({}),
        {"market": "north", "boards": [{"role": "brain", "read": bound("m1")}]},
        [{"role": "face", "part": "FACE", "claimed": bound("m1"), "introduced": True}],
        {},
        ("yes", "none", None),
    ),
    "a board that is bound is of no part that binds nothing": (
        shop({}),
        {"serial": M1},
        [{"role": "face", "claimed": bound("m1"), "introduced": True}],
        {},
        ("yes", "none", None),
    ),
    "a stated market leaves the models that are sold there": (
        shop({}),
        {"market": "south"},
        [{"role": "face", "part": "LOOKALIKE"}],
        {},
        NO,
    ),
    "without assumptions a place is not empty because no part is listed for it": (
        knob_everywhere(),
        {"serial": M2, "boards": [{"role": "brain", "part": "BRAIN", "claimed": bound("m2")}]},
        [{"role": "face", "part": "LOOKALIKE"}],
        {},
        ("unknown", "unknown", "worlds_differ"),
    ),
    "two followers may be introduced to one naming board": (
        shop({"matched_pair_moved": "nothing"}),
        {"serial": M1},
        [{"role": "brain", "serial": "BRD00001"}, {"role": "face", "serial": "BRD00002"},
         {"role": "knob", "serial": "BRD00003"}],
        {"boards": {
            "BRD00001": {"part": "BRAIN", "binding": USED, "held_serial": OTHER, "holder_in_service": False,
                         "partner": "BRD00003"},
            "BRD00002": {"part": "FACE", "binding": USED, "partner": "BRD00001"},
            "BRD00003": {"part": "KNOB", "binding": USED, "partner": "BRD00001"},
        }},
        ("yes", "none", None),
    ),
    "a follower has nobody to be introduced to where the naming place is empty": (
        optional_brain(),
        {"serial": M2, "made_on": "2023-05-01"},
        [{"role": "face", "part": "FACE", "claimed": bound("m2")}],
        {},
        ("yes", "none", None),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_brute_force_keeps_to_the_reading(name: str) -> None:
    asked, wanted = put(CASES[name])
    found = answer(Table(asked.catalogue, asked.question, asked.records, most=1000))
    assert (found.fit, found.programming, found.cause) == wanted


@pytest.mark.parametrize("name", CASES)
def test_the_service_keeps_to_the_reading(name: str) -> None:
    asked, wanted = put(CASES[name])
    found = compare.asked_of_engine(asked)
    assert (found["fit"], found["programming"], found["cause"]) == wanted, found


def put(case: Case) -> tuple[Asked, tuple[str, str, str | None]]:
    document, unit, boards, records, wanted = case
    assume = "nothing" if unit.get("serial") == M2 and "boards" in unit else "usual"
    unit = {"market": "north", "made_on": "2024-05-01", "boards": [], **unit}
    question = {"unit": unit, "boards": boards, "assume": assume}
    return Asked(document, question, {"boards": {}, "units": {}, **records}), wanted
