"""What is known of one board: the reading, the record, its label and the claim, fact by fact."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.binding import join, recorded_binding, stated_binding
from service.domain.facts.case import BoardCase
from service.domain.facts.known import NOTHING_KNOWN, Known, stronger_wins
from service.domain.facts.question import StatedBoard, Statement
from service.domain.facts.records import BoardRecord, Records
from service.domain.place import Place
from service.domain.serials import Decoded, Subject
from service.domain.serials.decoding import decode
from service.domain.terms import Basis, Condition, Holds, Serial

CONDITIONS = {
    "usable": frozenset({"usable"}),
    "maybe_exposed": frozenset({"usable", "exposed"}),
    "exposed": frozenset({"exposed"}),
    "failed": frozenset({"failed"}),
    "scrapped": frozenset({"scrapped"}),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """The records at hand. `looked_up` is false for a caller that may not read the ledger."""

    records: Records
    looked_up: bool


def board_case(
    compiled: CompiledCatalogue,
    ledger: Ledger,
    stated: StatedBoard,
    place: Place,
    unit_serial: str | None,
    *,
    proposed: bool,
    assumed: bool,
) -> BoardCase:
    """One stated board in its place, with everything that is known of it."""
    serial, record = find_record(compiled, ledger, stated)
    return BoardCase(
        place=place,
        proposed=proposed,
        serial=serial,
        record=record,
        part=part_of(compiled, stated, record),
        binding=_binding(stated, record),
        holds=_holds(compiled, stated, record, ledger, unit_serial),
        condition=_condition(stated, record),
        introduced=_introduced(stated),
        assumed=assumed,
    )


def find_record(
    compiled: CompiledCatalogue, ledger: Ledger, stated: StatedBoard
) -> tuple[Serial | None, BoardRecord | None]:
    """The compacted serial of a stated board and its record, where there are any."""
    if not stated.serial:
        return None, None
    serial = decode(compiled.catalogue.schemes, Subject.BOARD, stated.serial).serial
    return serial, ledger.records.boards.get(serial)


def part_of(compiled: CompiledCatalogue, stated: StatedBoard, record: BoardRecord | None) -> Known:
    """The part: as read, as recorded, as its label says, as claimed. The stronger word wins."""
    label = decode(compiled.catalogue.schemes, Subject.BOARD, stated.serial) if stated.serial else None
    parts = label.parts if isinstance(label, Decoded) else frozenset()
    return stronger_wins(
        _one(stated.read.part, Basis.READ),
        _one(record.part if record else None, Basis.RECORDED),
        Known(values=frozenset(map(str, parts)), basis=Basis.RECORDED) if parts else NOTHING_KNOWN,
        _one(stated.claimed.part, Basis.CLAIMED),
    )


def _binding(stated: StatedBoard, record: BoardRecord | None) -> Known:
    return join(
        recorded_binding(record.binding) if record else NOTHING_KNOWN,
        _binding_of(stated.read, Basis.READ),
        _binding_of(stated.claimed, Basis.CLAIMED),
    )


def _binding_of(statement: Statement, basis: Basis) -> Known:
    return stated_binding(statement.binding, statement.bound_model, basis)


def _holds(stated: StatedBoard, record: BoardRecord | None, ledger: Ledger, unit_serial: str | None) -> Known:
    """Whose serial it holds, told from the strongest word about the serial itself."""
    words = (
        (_compacted(compiled, stated.read.holds), Basis.READ),
        (record.held_serial if record else None, Basis.RECORDED),
        (_compacted(compiled, stated.claimed.holds), Basis.CLAIMED),
    )
    for serial, basis in words:
        if serial is not None:
            return Known(values=_holder(serial, record, ledger, unit_serial), basis=basis)
    return NOTHING_KNOWN


def _compacted(compiled: CompiledCatalogue, text: str | None) -> str | None:
    return decode(compiled.catalogue.schemes, Subject.UNIT, text).serial if text else text


def _holder(
    serial: str, record: BoardRecord | None, ledger: Ledger, unit_serial: str | None
) -> frozenset[str]:
    if serial == "":
        return frozenset({Holds.NOTHING})
    if serial == unit_serial:
        return frozenset({Holds.THIS_UNIT})
    if not ledger.looked_up:
        return frozenset({Holds.IDLE, Holds.IN_SERVICE})
    unit = ledger.records.units.get(Serial(serial))
    in_service = unit.in_service if unit else None
    if in_service is None and record is not None and record.held_serial == serial:
        in_service = record.holder_in_service
    return frozenset({Holds.IN_SERVICE if in_service else Holds.IDLE})


def _condition(stated: StatedBoard, record: BoardRecord | None) -> Known:
    """A board nobody speaks of is usable, so a record of `usable` never overrules a claim of damage."""
    recorded = frozenset(map(str, record.conditions)) if record else frozenset({str(Condition.USABLE)})
    known = Known(values=recorded, basis=Basis.RECORDED) if recorded != {Condition.USABLE} else NOTHING_KNOWN
    return stronger_wins(
        _condition_of(stated.read, Basis.READ), known, _condition_of(stated.claimed, Basis.CLAIMED)
    )


def _condition_of(statement: Statement, basis: Basis) -> Known:
    if statement.condition is None:
        return NOTHING_KNOWN
    return Known(values=CONDITIONS[statement.condition], basis=basis)


def _introduced(stated: StatedBoard) -> Known:
    return stronger_wins(
        _yes_or_no(stated.read.introduced, Basis.READ), _yes_or_no(stated.claimed.introduced, Basis.CLAIMED)
    )


def _yes_or_no(value: bool | None, basis: Basis) -> Known:
    if value is None:
        return NOTHING_KNOWN
    return Known(values=frozenset({"yes" if value else "no"}), basis=basis)


def _one(value: str | None, basis: Basis) -> Known:
    return NOTHING_KNOWN if value is None else Known(values=frozenset({value}), basis=basis)
