"""What is known of a board's binding: it only grows, and only a correction takes anything back."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.facts.records import BindingRecord
from service.domain.ledger.event import Draft
from tests.ledger.telling import board_after, draft, fit, remove

MODELS = ("plover-40", "plover-60", "wren-4")


def exactly(*values: str, contradiction: bool = False, any_model: bool = False) -> BindingRecord:
    return BindingRecord(values=frozenset(values), contradiction=contradiction, any_model=any_model)


def read(binding: str, model: str | None = None, **more: Any) -> Draft:
    told = {"bound_model": model} if model else {}
    return draft("read_out", board="B1", binding=binding, **told, **more)


BLANK = read("blank")
USED = read("used")
BOUND_40 = read("bound", "plover-40")
BOUND_60 = read("bound", "plover-60")
RECEIVED = draft("received", board="B1", part="p-1", binding="blank")
FIT_40 = fit("B1")
TRY_40 = draft("step_started", step="enter_serial", board="B1", unit="U1", model="plover-40")
FAIL_40 = draft("step_failed", step="enter_serial", board="B1", unit="U1", model="plover-40")
BIND_40 = draft("step_finished", step="enter_serial", board="B1", unit="U1", model="plover-40")
ASSIGN_60 = draft("step_finished", step="assign", board="B1", unit="U2", model="plover-60")
LOAD_ON_BENCH = draft("step_finished", step="load", board="B1", release="1.1")
LOAD_IN_U1 = draft("step_finished", step="load", board="B1", unit="U1", release="1.1")
TAKEN_ALONG = draft("removed", board="B1", unit="U1", role="main", policy="names", kept=False)
MET_IN_U1 = draft("read_out", board="B1", unit="U1", role="main", policy="names")
MET_BLANK = draft("read_out", board="B1", unit="U1", role="main", policy="names", binding="blank")
FOUND = draft("found", board="B1", in_custody=True)

CASES = [
    ([], None),
    ([BLANK], exactly("blank")),
    ([USED], exactly(any_model=True)),
    ([BOUND_40], exactly("plover-40")),
    # Growth.
    ([BLANK, BOUND_40], exactly("plover-40")),
    ([BLANK, USED], exactly(any_model=True)),
    ([USED, BOUND_40], exactly("plover-40")),
    ([BOUND_40, USED], exactly("plover-40")),
    ([BLANK, BIND_40], exactly("plover-40")),
    ([BIND_40, BIND_40], exactly("plover-40")),
    # Contradictions keep exactly what contradicts.
    ([BOUND_40, BLANK], exactly("plover-40", "blank", contradiction=True)),
    ([BOUND_40, BOUND_60], exactly("plover-40", "plover-60", contradiction=True)),
    ([BLANK, BOUND_40, BLANK], exactly("plover-40", "blank", contradiction=True)),
    ([USED, BLANK], exactly("blank", contradiction=True, any_model=True)),
    ([BIND_40, ASSIGN_60], exactly("plover-40", "plover-60", contradiction=True)),
    ([BOUND_40, BOUND_60, USED, FIT_40], exactly("plover-40", "plover-60", contradiction=True)),
    ([BOUND_40, BLANK, TAKEN_ALONG], exactly("plover-40", "blank", contradiction=True)),
    # A recorded blank holds on the shelf, and expires with the first chance to be bound.
    ([RECEIVED, draft("tested", board="B1", passed=True)], exactly("blank")),
    ([RECEIVED, LOAD_ON_BENCH], exactly("blank")),
    ([RECEIVED, LOAD_IN_U1], None),
    ([RECEIVED, FIT_40], exactly("blank", "plover-40")),
    ([RECEIVED, fit("B1", model=None)], None),
    ([RECEIVED, FIT_40, remove("B1")], exactly("blank", "plover-40")),
    ([RECEIVED, FIT_40, fit("B1", "U2", "plover-60")], exactly("blank", "plover-40", "plover-60")),
    ([RECEIVED, TRY_40], exactly("blank", "plover-40")),
    ([RECEIVED, TRY_40, FAIL_40], exactly("blank", "plover-40")),
    ([RECEIVED, FIT_40, TAKEN_ALONG], None),
    ([RECEIVED, FOUND], None),
    # What was fitted without a word may have been bound there.
    ([RECEIVED, remove("B1")], None),
    ([RECEIVED, MET_IN_U1], None),
    ([RECEIVED, MET_BLANK], exactly("blank")),
    ([RECEIVED, FIT_40, MET_IN_U1], exactly("blank", "plover-40")),
    ([RECEIVED, FIT_40, BLANK], exactly("blank")),
    ([RECEIVED, FIT_40, USED], exactly("plover-40")),
    ([RECEIVED, FIT_40, BOUND_60], exactly("plover-60")),
    # What is bound stays bound, whatever is tried and wherever it goes.
    ([BOUND_40, fit("B1", "U2", "plover-60"), TAKEN_ALONG, FOUND], exactly("plover-40")),
    ([BOUND_40, FAIL_40], exactly("plover-40")),
    ([USED, TAKEN_ALONG], exactly(any_model=True)),
    # A correction takes a record back, and may bring the true reading.
    ([BOUND_40, BOUND_60, draft("corrected", withdraws=1, reason="mistyped")], exactly("plover-60")),
    ([BOUND_40, draft("corrected", withdraws=1, reason="mistyped")], None),
    (
        [
            BOUND_40,
            draft("corrected", withdraws=1, reason="x", board="B1", binding="bound", bound_model="plover-60"),
        ],
        exactly("plover-60"),
    ),
]


@pytest.mark.parametrize(("history", "expected"), CASES, ids=range(len(CASES)))
def test_a_history_leaves_this_binding(history: list[Draft], expected: BindingRecord | None) -> None:
    found = board_after("B1", draft("tested", board="B1", passed=True), *_shifted(history)).binding
    assert found == (expected or BindingRecord())


def _shifted(history: list[Draft]) -> list[Draft]:
    """The history after one event more: numbers that it names move on by one."""
    return [
        draft(each.kind, **{**each.data, "withdraws": each.data["withdraws"] + 1})
        if "withdraws" in each.data
        else each
        for each in history
    ]


READINGS = [BLANK, USED, *(read("bound", model) for model in MODELS)]
FITTINGS = [fit("B1", model=model) for model in MODELS]
statements = st.lists(st.sampled_from([*READINGS, *FITTINGS]), max_size=12)


def possible_lives(history: list[Draft]) -> set[str]:
    """Brute force, with none of the engine's code: every life of a board that agrees with all statements.

    A life is the position at which a board is bound and the model; a fitting may bind a blank board to
    the unit's model, and between two statements anybody may have bound one that is not bound yet.
    """
    ends = set()
    for model in MODELS:
        for bound_at in range(len(history) + 1):
            if all(_agrees(each, at >= bound_at, model) for at, each in enumerate(history)):
                ends.add("blank" if bound_at == len(history) else model)
    return ends


def _agrees(statement: Draft, is_bound: bool, model: str) -> bool:
    match statement.data.get("binding"):
        case "blank":
            return not is_bound
        case "used":
            return is_bound
        case "bound":
            return is_bound and statement.data["bound_model"] == model
        case _:
            return True


@given(statements)
def test_knowledge_is_a_contradiction_exactly_where_no_life_agrees(history: list[Draft]) -> None:
    if history:
        found = board_after("B1", *history).binding
        assert found.contradiction == (possible_lives(history) == set())


@given(statements)
def test_without_a_contradiction_what_is_known_is_one_of_the_possible_lives(history: list[Draft]) -> None:
    lives = possible_lives(history)
    if not history or not lives:
        return
    found = board_after("B1", *history).binding
    known = set(MODELS) | {"blank"} if found.values is None else set(found.values)
    if found.any_model:
        known |= set(MODELS)
    assert known <= lives
    assert len(lives) > 1 or known == lives


@given(statements)
def test_a_contradiction_never_loses_a_value(history: list[Draft]) -> None:
    seen: frozenset[str] = frozenset()
    for upto in range(1, len(history) + 1):
        found = board_after("B1", *history[:upto]).binding
        assert seen <= (found.values or frozenset())
        if found.contradiction:
            seen = found.values or frozenset()
