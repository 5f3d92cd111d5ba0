"""Event data that is taken and that is refused, with the place of every fault."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.ledger.event import Draft, EventKind
from service.domain.ledger.fields import MAX_ITEMS, Field, FieldType
from service.domain.ledger.kinds import KINDS, UnknownKind, draft_faults, kind_of, named_subjects
from tests.ledger.telling import LONG_AGO

BOARD, UNIT = {"board": "B1"}, {"unit": "U1"}
MAIN = {"role": "main", "policy": "names"}
PANEL = {"role": "panel", "policy": "follows"}
NAMING = {"naming": {"board": "M1", "role": "main"}}

REFUSED: list[tuple[str, dict[str, Any], str, str]] = [
    ("registered", {}, "data", "exactly_one"),
    ("registered", {**BOARD, **UNIT}, "data", "exactly_one"),
    ("registered", {**BOARD, "model": "m"}, "data.unit", "missing"),
    ("registered", {**UNIT, "part": "p"}, "data.board", "missing"),
    ("registered", {**UNIT, "made_on": "20240501"}, "data.made_on", "wrong_value"),
    ("registered", {**UNIT, "made_on": "2024-02-30"}, "data.made_on", "wrong_value"),
    ("registered", {**UNIT, "boards": {}}, "data.boards", "wrong_type"),
    ("registered", {**UNIT, "boards": ["B1"]}, "data.boards.0", "wrong_type"),
    ("registered", {**UNIT, "boards": [BOARD]}, "data.boards.0.role", "missing"),
    (
        "registered",
        {**UNIT, "boards": [{**BOARD, **MAIN}, {**BOARD, **PANEL}]},
        "data.boards.1",
        "not_together",
    ),
    (
        "registered",
        {**UNIT, "boards": [{**BOARD, **MAIN}, {"board": "B2", **MAIN}]},
        "data.boards.1",
        "not_together",
    ),
    (
        "registered",
        {**UNIT, "boards": [{"board": f"B{n}", **MAIN} for n in range(MAX_ITEMS + 1)]},
        "data.boards",
        "too_long",
    ),
    (
        "registered",
        {**UNIT, "boards": [{**BOARD, **MAIN, "binding": "bound"}]},
        "data.boards.0.bound_model",
        "missing",
    ),
    ("received", {}, "data.board", "missing"),
    ("received", {"board": ""}, "data.board", "wrong_value"),
    ("received", {"board": " B1"}, "data.board", "wrong_value"),
    ("received", {"board": "B\x00"}, "data.board", "wrong_value"),
    ("received", {"board": "B\ud800"}, "data.board", "wrong_value"),
    ("received", {"board": "B" * 65}, "data.board", "too_long"),
    ("received", {"board": 5}, "data.board", "wrong_type"),
    ("received", {**BOARD, "colour": "red"}, "data.colour", "unknown_field"),
    ("received", {**BOARD, "release": ""}, "data.release", "wrong_value"),
    ("received", {**BOARD, "release": 1}, "data.release", "wrong_type"),
    ("received", {**BOARD, "release": "9" * 65}, "data.release", "too_long"),
    ("received", {**BOARD, "binding": "new"}, "data.binding", "wrong_value"),
    ("received", {**BOARD, "binding": "bound"}, "data.bound_model", "missing"),
    ("received", {**BOARD, "binding": "blank", "bound_model": "m"}, "data.bound_model", "not_together"),
    ("received", {**BOARD, "binding": "blank", "holds": "U1"}, "data.holds", "not_together"),
    ("read_out", {**BOARD, "role": "main"}, "data.unit", "missing"),
    ("read_out", {**BOARD, **UNIT}, "data.role", "missing"),
    ("read_out", {**BOARD, **UNIT, "role": "main"}, "data.policy", "missing"),
    ("read_out", {**BOARD, "place": "left"}, "data.role", "missing"),
    ("read_out", {**BOARD, **UNIT, **PANEL, "introduced": True}, "data.naming", "missing"),
    ("read_out", {**BOARD, **UNIT, **MAIN, "introduced": False}, "data.policy", "wrong_value"),
    (
        "read_out",
        {"board": "M1", **UNIT, **PANEL, "introduced": True, **NAMING},
        "data.naming.board",
        "not_together",
    ),
    ("fitted", {**BOARD, **UNIT}, "data.role", "missing"),
    ("fitted", {**BOARD, **UNIT, "role": "main"}, "data.policy", "missing"),
    ("removed", {**BOARD, **MAIN}, "data.unit", "missing"),
    ("removed", {**UNIT, **MAIN, "kept": "yes"}, "data.kept", "wrong_type"),
    ("found", BOARD, "data.in_custody", "missing"),
    ("found", {**BOARD, "in_custody": True, "was": {"unit": "U1"}}, "data.was.role", "missing"),
    ("found", {**BOARD, "in_custody": True, "was": "U1"}, "data.was", "wrong_type"),
    ("step_started", {}, "data.step", "missing"),
    ("step_started", {"step": "mount", **UNIT}, "data.step", "wrong_value"),
    ("step_started", {"step": "enter_serial", **BOARD, **UNIT}, "data.model", "missing"),
    ("step_finished", {"step": "assign", **BOARD, "model": "m"}, "data.unit", "missing"),
    ("step_finished", {"step": "load"}, "data.board", "missing"),
    ("step_finished", {"step": "activate"}, "data.unit", "missing"),
    ("step_started", {"step": "load", **BOARD, "release": "1.1"}, "data.release", "unknown_field"),
    ("step_started", {"step": "load", **BOARD, "role": "main"}, "data.unit", "missing"),
    ("step_started", {"step": "load", **BOARD, **UNIT, "role": "main"}, "data.policy", "missing"),
    (
        "step_started",
        {"step": "enter_serial", **BOARD, **UNIT, "model": "m", **PANEL},
        "data.policy",
        "not_together",
    ),
    ("step_started", {"step": "introduce", **BOARD, **UNIT, "role": "panel"}, "data.naming", "missing"),
    ("step_started", {"step": "load", **BOARD, **NAMING}, "data.naming", "not_together"),
    ("accessory_fitted", {**UNIT, "accessory": "battery_pack"}, "data.amount", "missing"),
    ("tested", {**BOARD, "passed": 1}, "data.passed", "wrong_type"),
    ("exposed", {**BOARD, "to": "dust"}, "data.to", "wrong_value"),
    ("hold_placed", {"hold": "recalled"}, "data", "exactly_one"),
    ("hold_placed", {**BOARD, "hold": "lost"}, "data.hold", "wrong_value"),
    ("hold_lifted", {**BOARD, "placed": 1, "confirmed_by": "owner"}, "data.evidence", "missing"),
    (
        "hold_lifted",
        {**BOARD, "placed": 1, "confirmed_by": "dealer", "evidence": "x"},
        "data.confirmed_by",
        "wrong_value",
    ),
    ("sale_checked", BOARD, "data.check", "missing"),
    ("sold", {**BOARD, "customer": "c" * 65}, "data.customer", "too_long"),
    ("returned", {**BOARD, "binding": "bound"}, "data.bound_model", "missing"),
    ("converted", {**UNIT, "into": "U2"}, "data.model", "missing"),
    ("converted", {**UNIT, "into": "U1", "model": "m"}, "data.into", "not_together"),
    (
        "converted",
        {**UNIT, "into": "U2", "model": "m", "boards": [{**BOARD, **MAIN}, {**BOARD, **PANEL}]},
        "data.boards.1",
        "not_together",
    ),
    ("scrapped", {}, "data", "exactly_one"),
    ("dismantled", BOARD, "data.unit", "missing"),
    ("corrected", {"withdraws": 1}, "data.reason", "missing"),
    ("corrected", {"withdraws": "1", "reason": "x"}, "data.withdraws", "wrong_type"),
    ("corrected", {"withdraws": 1, "reason": "x" * 501}, "data.reason", "too_long"),
    ("corrected", {"withdraws": 1, "reason": "x", "binding": "blank"}, "data.board", "missing"),
    ("mislaid", BOARD, "kind", "wrong_value"),
]


@pytest.mark.parametrize(("kind", "data", "path", "code"), REFUSED, ids=range(len(REFUSED)))
def test_refused_with_its_place(kind: str, data: dict[str, Any], path: str, code: str) -> None:
    faults = list(draft_faults(Draft(kind=kind, occurred_at=LONG_AGO, data=data)))
    assert (path, code) in [(".".join(map(str, fault.path)), fault.code) for fault in faults]


def test_a_moment_without_a_zone_is_refused() -> None:
    local = Draft(kind="tested", occurred_at=datetime(2025, 1, 1), data={**BOARD, "passed": True})  # noqa: DTZ001 - the fault
    assert [fault.path for fault in draft_faults(local)] == [("occurred_at",)]


def test_all_faults_are_told_at_once() -> None:
    bad = Draft(kind="fitted", occurred_at=LONG_AGO, data={"board": 1, "unit": "", "colour": "red"})
    assert len(list(draft_faults(bad))) == 5


NAMES = sorted({name for row in KINDS.values() for name in row.fields})
names = st.sampled_from(NAMES) | st.text(max_size=3)
json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=4),
    max_leaves=8,
)


@given(st.sampled_from(sorted(KINDS)), st.dictionaries(names, json, max_size=6))
def test_no_data_raises_anything_else_than_faults(kind: str, data: dict[str, Any]) -> None:
    if not list(draft_faults(Draft(kind=kind, occurred_at=LONG_AGO, data=data))):
        assert named_subjects(kind, data)


def test_every_kind_is_in_the_registry_once() -> None:
    assert set(KINDS) == set(EventKind)
    assert all(name == row.kind for name, row in KINDS.items())


def test_every_field_that_nests_has_a_table_and_every_choice_has_choices() -> None:
    def walk(field: Field) -> None:
        assert (field.of is not None) == (field.type in {FieldType.BLOCK, FieldType.LIST})
        assert bool(field.choices) == (field.type is FieldType.CHOICE)
        for inner in (field.of or {}).values():
            walk(inner)

    for row in KINDS.values():
        for field in row.fields.values():
            walk(field)


def test_whom_an_event_speaks_of() -> None:
    data = {
        **BOARD,
        **UNIT,
        **PANEL,
        "holds": "U9",
        "introduced": True,
        "naming": {"board": "M1", "role": "main"},
    }
    told = [(who.kind.value, who.serial) for who in named_subjects("read_out", data)]
    assert told == [("board", "B1"), ("board", "M1"), ("unit", "U1")]


@pytest.mark.parametrize("kind", ["sold", "sale_checked"])
def test_a_unit_that_is_only_mentioned_is_not_spoken_of(kind: str) -> None:
    told = named_subjects(kind, {**BOARD, **UNIT, "check": "c-1"})
    assert [who.serial for who in told] == ["B1"]


def test_a_conversion_speaks_of_both_units_and_of_the_boards_that_stay() -> None:
    told = named_subjects("converted", {**UNIT, "into": "U2", "model": "m", "boards": [{**BOARD, **MAIN}]})
    assert [who.serial for who in told] == ["B1", "U1", "U2"]


def test_an_unknown_kind_is_not_folded_over() -> None:
    with pytest.raises(UnknownKind):
        kind_of("mislaid")
