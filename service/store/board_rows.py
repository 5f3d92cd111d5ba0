"""A board's state to its row, and back, without loss."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from service.domain.facts.records import FACTORY_INTRODUCED, BindingRecord, BoardRecord, Introductions
from service.domain.ledger.binding import NOTHING_KNOWN
from service.domain.ledger.states import BoardState
from service.domain.terms import Condition
from service.store.packing import Row, holds_in, holds_out, packed, unpacked
from service.store.tables import BOARDS

_CONDITIONS = {condition.value: frozenset({condition}) for condition in Condition}

BOARD_COLUMNS = (
    BOARDS.c.serial,
    BOARDS.c.version,
    BOARDS.c.part,
    BOARDS.c.binding,
    BOARDS.c.condition,
    BOARDS.c.held_serial,
    BOARDS.c.release,
    BOARDS.c.in_unit,
    BOARDS.c.role,
    BOARDS.c.place,
    BOARDS.c.donor,
    BOARDS.c.partner,
    BOARDS.c.in_custody,
    BOARDS.c.tested,
    BOARDS.c.sold,
    BOARDS.c.rest,
)
"""The columns that make a board's state, in the order in which `board_state` takes them."""


def board_row(state: BoardState) -> Row:
    """The row that a board's state is kept as."""
    record = state.record
    binding, binding_rest = _binding_out(record.binding)
    condition = _only(record.conditions)
    rest = {
        "binding": binding_rest,
        "conditions": None if condition else sorted(record.conditions),
        "holds": holds_out(record.holds),
        "introductions": _introductions_out(record.introductions),
        "scrapped": state.scrapped,
    }
    return {
        "serial": record.serial,
        "version": record.version,
        "part": record.part,
        "binding": binding,
        "condition": condition,
        "held_serial": record.held_serial,
        "release": record.release,
        "in_unit": record.in_unit,
        "role": record.role,
        "place": record.place,
        "donor": record.donor,
        "partner": record.partner,
        "in_custody": record.in_custody,
        "held": bool(record.holds),
        "tested": record.tested,
        "sold": record.sold,
        "rest": packed(rest),
    }


def board_state(
    columns: Sequence[Any], *, holder_in_service: bool | None = None, donor_held: bool = False
) -> BoardState:
    """The state that BOARD_COLUMNS keep. Holder and donor are told by who looked them up."""
    (
        serial,
        version,
        part,
        binding,
        condition,
        held,
        release,
        unit,
        role,
        place,
        donor,
        partner,
        custody,
        tested,
        sold,
        rest,
    ) = columns
    told = unpacked(rest)
    record = BoardRecord(
        serial=serial,
        version=version,
        part=part,
        binding=_known_binding(binding) if binding else _binding_in(told.get("binding")),
        held_serial=held,
        holder_in_service=holder_in_service if held else None,
        conditions=_CONDITIONS[condition] if condition else frozenset(map(Condition, told["conditions"])),
        partner=partner,
        introductions=_introductions_in(told.get("introductions")),
        release=release,
        in_unit=unit,
        role=role,
        place=place,
        donor=donor,
        donor_held=donor_held,
        holds=holds_in(told),
        in_custody=bool(custody),
        tested=bool(tested),
        sold=bool(sold),
    )
    return BoardState(record=record, scrapped=told.get("scrapped", 0))


def _only(values: frozenset[str] | None) -> str | None:
    return next(iter(values)) if values is not None and len(values) == 1 else None


def _binding_out(known: BindingRecord) -> tuple[str | None, list[Any] | None]:
    """The column and the remainder; a binding of which nothing is known has neither."""
    if known == NOTHING_KNOWN:
        return None, None
    single = _only(known.values)
    if single and not known.any_model and not known.contradiction:
        return single, None
    values = None if known.values is None else sorted(known.values)
    return None, [values, known.any_model, known.contradiction]


def _binding_in(told: list[Any] | None) -> BindingRecord:
    if told is None:
        return NOTHING_KNOWN
    values, any_model, contradiction = told
    known = None if values is None else frozenset(values)
    return BindingRecord(values=known, any_model=any_model, contradiction=contradiction)


@lru_cache(maxsize=1024)
def _known_binding(value: str) -> BindingRecord:
    """Models are few and boards are many: boards of one binding share the value."""
    return BindingRecord(values=frozenset({value}))


def _introductions_in(told: list[Any] | None) -> Introductions:
    if told is None:
        return FACTORY_INTRODUCED
    unit, since, last = told
    return Introductions(unit=unit, since=since, last=last)


def _introductions_out(known: Introductions) -> list[Any] | None:
    return None if known == FACTORY_INTRODUCED else [known.unit, known.since, known.last]
