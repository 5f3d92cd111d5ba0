"""What is known of one board: the reading, the record, its label and the claim, fact by fact."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.binding import join, recorded_binding, stated_binding
from service.domain.facts.case import BoardCase, Pairing, board_facts
from service.domain.facts.known import NOTHING_KNOWN, Known, stronger_wins
from service.domain.facts.question import StatedBoard, Statement
from service.domain.facts.records import BoardRecord, Records
from service.domain.place import Place
from service.domain.serials import Decoded, Unreadable
from service.domain.terms import Basis, Condition, Holds, PartNumber, Serial

CONDITIONS = {
    "usable": frozenset({"usable"}),
    "maybe_exposed": frozenset({"usable", "exposed"}),
    "exposed": frozenset({"exposed"}),
    "failed": frozenset({"failed"}),
    "scrapped": frozenset({"scrapped"}),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """Where facts come from: the catalogue, and the records at hand. `looked_up` is false for a caller
    that may not read the ledger."""

    compiled: CompiledCatalogue
    records: Records
    looked_up: bool

    def unit_serial(self, text: str | None) -> str | None:
        """A stated unit serial, compacted; the empty string ("holds none") and None stay what they are."""
        return self.compiled.read_unit(text).serial if text else text

    def named(self, stated: StatedBoard, record: BoardRecord | None = None) -> Named:
        """A stated board with its label read and its record looked up, where none is given."""
        if not stated.serial:
            return named(stated, None, record)
        label = self.compiled.read_board(stated.serial)
        return named(stated, label, record or self.records.boards.get(label.serial))


class Named(NamedTuple):
    """A stated board, what its serial says, what is recorded of it, and so which part it is."""

    stated: StatedBoard
    label: Decoded | Unreadable | None
    record: BoardRecord | None
    part: Known


def named(stated: StatedBoard, label: Decoded | Unreadable | None, record: BoardRecord | None) -> Named:
    """A stated board with its part: as read, as recorded, as its label says, as claimed. The stronger
    word wins."""
    parts = label.parts if isinstance(label, Decoded) else frozenset[PartNumber]()
    part = stronger_wins(
        _one(stated.read.part, Basis.READ),
        _one(record.part if record else None, Basis.RECORDED),
        Known(values=frozenset(map(str, parts)), basis=Basis.RECORDED) if parts else NOTHING_KNOWN,
        _one(stated.claimed.part, Basis.CLAIMED),
    )
    return Named(stated, label, record, part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A board with all that is known of it alone; `pairing.finished` adds what depends on the others."""

    named: Named
    place: Place
    proposed: bool
    assumed: bool
    holds: Known
    introduced: Known

    @property
    def serial(self) -> Serial | None:
        """The board's serial, compacted."""
        return self.named.label.serial if self.named.label else None

    def case(self, pairing: Pairing, introduced: Known) -> BoardCase:
        """The board as part of a case."""
        stated, record = self.named.stated, self.named.record
        facts = board_facts(
            self.place,
            self.proposed,
            self.named.part,
            _binding(stated, record),
            self.holds,
            _condition(stated, record),
            introduced,
            pairing,
            self.assumed,
            record.release if record else None,
        )
        return BoardCase(facts=facts, serial=self.serial, record=record)


def draft(
    sources: Sources, named: Named, place: Place, unit_serial: str | None, *, proposed: bool, assumed: bool
) -> Draft:
    """One stated board in its place."""
    return Draft(
        named=named,
        place=place,
        proposed=proposed,
        assumed=assumed,
        holds=_holds(sources, named, unit_serial),
        introduced=_introduced(named.stated),
    )


def _binding(stated: StatedBoard, record: BoardRecord | None) -> Known:
    return join(
        recorded_binding(record.binding) if record else NOTHING_KNOWN,
        _binding_of(stated.read, Basis.READ),
        _binding_of(stated.claimed, Basis.CLAIMED),
    )


def _binding_of(statement: Statement, basis: Basis) -> Known:
    return stated_binding(statement.binding, statement.bound_model, basis)


def _holds(sources: Sources, named: Named, unit_serial: str | None) -> Known:
    """Whose serial it holds, told from the strongest word about the serial itself."""
    record = named.record
    words = (
        (sources.unit_serial(named.stated.read.holds), Basis.READ),
        (record.held_serial if record else None, Basis.RECORDED),
        (sources.unit_serial(named.stated.claimed.holds), Basis.CLAIMED),
    )
    for serial, basis in words:
        if serial is not None:
            return Known(values=_holder(serial, record, sources, unit_serial), basis=basis)
    return NOTHING_KNOWN


def _holder(
    serial: str, record: BoardRecord | None, sources: Sources, unit_serial: str | None
) -> frozenset[str]:
    if serial == "":
        return frozenset({Holds.NOTHING})
    if serial == unit_serial:
        return frozenset({Holds.THIS_UNIT})
    if not sources.looked_up:
        return frozenset({Holds.IDLE, Holds.IN_SERVICE})
    unit = sources.records.units.get(Serial(serial))
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
