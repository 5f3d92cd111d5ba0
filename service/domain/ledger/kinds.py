"""The registry of event kinds: what each holds, whom it speaks of, and what it changes.

A further kind is one more row here and one more member of `EventKind`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.domain.ledger import bench, converting, placing, programming, schemas, trading
from service.domain.ledger.checks import Check
from service.domain.ledger.event import Draft, Event, EventKind, Subject
from service.domain.ledger.fields import Fault, FieldTable, faults, subjects
from service.domain.ledger.states import BoardState, UnitState


def unchanged_board(state: BoardState, event: Event) -> BoardState:  # noqa: ARG001 - the shape of an effect
    return state


def unchanged_unit(state: UnitState, event: Event) -> UnitState:  # noqa: ARG001 - the shape of an effect
    return state


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """All that there is to know of one event kind."""

    kind: EventKind
    fields: FieldTable
    checks: tuple[Check, ...] = ()
    """What the fields must be together."""
    on_board: Callable[[BoardState, Event], BoardState] = unchanged_board
    on_unit: Callable[[UnitState, Event], UnitState] = unchanged_unit


class UnknownKind(Exception):
    """An event of a kind that this version of the service does not know."""


def _row(kind: EventKind, shape: schemas.Shape, **effects: Callable[..., Any]) -> Kind:
    return Kind(kind=kind, fields=shape.fields, checks=shape.checks, **effects)


_STEP: dict[str, Callable[..., Any]] = {"on_board": programming.step_board, "on_unit": programming.step_unit}

_ROWS = (
    _row(
        EventKind.REGISTERED,
        schemas.REGISTERED,
        on_board=placing.registered_board,
        on_unit=placing.registered_unit,
    ),
    _row(EventKind.RECEIVED, schemas.RECEIVED, on_board=placing.received_board),
    _row(
        EventKind.READ_OUT,
        schemas.READ_OUT,
        on_board=placing.read_out_board,
        on_unit=placing.read_out_unit,
    ),
    _row(EventKind.FITTED, schemas.FITTED, on_board=placing.fitted_board, on_unit=placing.fitted_unit),
    _row(EventKind.REMOVED, schemas.REMOVED, on_board=placing.removed_board, on_unit=placing.removed_unit),
    _row(EventKind.FOUND, schemas.FOUND, on_board=placing.found_board, on_unit=placing.found_unit),
    _row(EventKind.STEP_STARTED, schemas.STEP, **_STEP),
    _row(EventKind.STEP_FINISHED, schemas.STEP_FINISHED, **_STEP),
    _row(EventKind.STEP_FAILED, schemas.STEP, **_STEP),
    _row(EventKind.ACCESSORY_FITTED, schemas.ACCESSORY_FITTED, on_unit=bench.accessory_fitted),
    _row(EventKind.TESTED, schemas.TESTED, on_board=bench.tested_board),
    _row(EventKind.EXPOSED, schemas.EXPOSED, on_board=bench.exposed_board),
    _row(
        EventKind.HOLD_PLACED,
        schemas.HOLD_PLACED,
        on_board=bench.hold_placed_board,
        on_unit=bench.hold_placed_unit,
    ),
    _row(
        EventKind.HOLD_LIFTED,
        schemas.HOLD_LIFTED,
        on_board=bench.hold_lifted_board,
        on_unit=bench.hold_lifted_unit,
    ),
    _row(EventKind.SALE_CHECKED, schemas.SALE_CHECKED),
    _row(EventKind.SOLD, schemas.SOLD, on_board=trading.sold_board),
    _row(EventKind.RETURNED, schemas.RETURNED, on_board=trading.returned_board),
    _row(EventKind.SCRAPPED, schemas.SCRAPPED, on_board=bench.scrapped_board, on_unit=bench.ended_unit),
    _row(EventKind.DISMANTLED, schemas.DISMANTLED, on_unit=bench.ended_unit),
    _row(
        EventKind.CONVERTED,
        schemas.CONVERTED,
        on_board=converting.converted_board,
        on_unit=converting.converted_unit,
    ),
    _row(EventKind.CORRECTED, schemas.CORRECTED, on_board=bench.corrected_board),
)

KINDS: Mapping[str, Kind] = {row.kind: row for row in _ROWS}


def kind_of(name: str) -> Kind:
    """The row of a kind. Raises UnknownKind."""
    try:
        return KINDS[name]
    except KeyError:
        raise UnknownKind(name) from None


def draft_faults(draft: Draft) -> Iterator[Fault]:
    """All that is wrong with an event's data by itself; nothing is looked up."""
    if draft.kind not in KINDS:
        yield Fault(("kind",), "wrong_value")
        return
    if draft.occurred_at.tzinfo is None:
        yield Fault(("occurred_at",), "wrong_value")
    row = KINDS[draft.kind]
    found = list(faults(row.fields, draft.data, ("data",)))
    yield from found
    if not found:
        for check in row.checks:
            yield from check(draft.data, ("data",))


def named_subjects(kind: str, data: Mapping[str, Any]) -> tuple[Subject, ...]:
    """Whom valid data of a kind speaks of, each once, in order."""
    return tuple(sorted(set(subjects(kind_of(kind).fields, data))))
