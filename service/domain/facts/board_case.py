"""What is known of one board: the reading, the record, its label and the claim, fact by fact."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple

from service.domain.catalogue.naming import release_named
from service.domain.facts.binding import join, recorded_binding, stated_binding
from service.domain.facts.case import BoardCase, Pairing, board_facts
from service.domain.facts.holder import agreed, holder_known, nobody_speaks
from service.domain.facts.known import NOTHING_KNOWN, Known, stronger_wins
from service.domain.facts.question import StatedBoard, Statement
from service.domain.facts.records import BoardRecord
from service.domain.facts.sources import Sources
from service.domain.place import Place
from service.domain.serials import Decoded, Unreadable
from service.domain.terms import Basis, Condition, PartNumber, Serial

CONDITIONS = {
    "usable": frozenset({"usable"}),
    "maybe_exposed": frozenset({"usable", "exposed"}),
    "exposed": frozenset({"exposed"}),
    "failed": frozenset({"failed"}),
    "scrapped": frozenset({"scrapped"}),
}


class Named(NamedTuple):
    """A stated board, what its serial says, what is recorded of it, and so which part it is."""

    stated: StatedBoard
    label: Decoded | Unreadable | None
    record: BoardRecord | None
    part: Known


def find(sources: Sources, stated: StatedBoard, record: BoardRecord | None = None) -> Named:
    """A stated board with its label read and its record looked up, where none is given."""
    if not stated.serial:
        return named(stated, None, record)
    label = sources.compiled.read_board(stated.serial)
    return named(stated, label, record or sources.records.boards.get(label.serial))


def offered(sources: Sources, stated: StatedBoard) -> Named:
    """A proposed board, found once for all questions that are asked together."""
    found: Named | None = sources.boards.get(stated)
    if found is None:
        found = sources.boards[stated] = find(sources, stated)
    return found


def named(stated: StatedBoard, label: Decoded | Unreadable | None, record: BoardRecord | None) -> Named:
    """A stated board with its part: as read, as recorded, as its label says, as claimed. The stronger
    word wins."""
    recorded = _one(record.part, Basis.RECORDED) if record else NOTHING_KNOWN
    labelled = _labelled(label.parts) if isinstance(label, Decoded) else NOTHING_KNOWN
    if stated.silent:
        part = stronger_wins(recorded, labelled)
    else:
        read, claimed = _one(stated.read.part, Basis.READ), _one(stated.claimed.part, Basis.CLAIMED)
        part = stronger_wins(read, recorded, labelled, claimed)
    return Named(stated, label, record, part)


def came_from_elsewhere(named: Named, unit_serial: str | None) -> bool:
    """Whether a board that sits in a unit is told, or recorded, not to be the one that the factory put there.
    A label alone tells nothing: the factory's boards have labels too."""
    if named.stated.second_hand:
        return True
    record = named.record
    if record is None or record.in_unit == unit_serial is not None:
        return False
    return record.in_custody or record.sold or record.donor is not None or record.in_unit is not None


class Draft(NamedTuple):
    """A board with all that is known of it alone; `pairing.finished` adds what depends on the others."""

    named: Named
    place: Place
    proposed: bool
    assumed: bool
    binding: Known
    holds: Known
    introduced: Known
    release: Known
    cases: dict[tuple[Pairing, Known, bool], BoardCase]
    """It as part of cases, by what depends on the others: made once where a draft is shared."""

    @property
    def serial(self) -> Serial | None:
        """The board's serial, compacted."""
        return self.named.label.serial if self.named.label else None

    def case(self, pairing: Pairing, introduced: Known, *, sits: bool = False) -> BoardCase:
        """The board as part of a case."""
        key = pairing, introduced, sits
        found = self.cases.get(key)
        if found is None:
            found = self.cases[key] = self._case(*key)
        return found

    def _case(self, pairing: Pairing, introduced: Known, sits: bool) -> BoardCase:
        stated, record = self.named.stated, self.named.record
        facts = board_facts(
            self.place,
            self.proposed,
            self.named.part,
            self.binding,
            self.holds,
            _condition(stated, record),
            introduced,
            pairing,
            self.assumed,
            self.release,
            sits,
        )
        return BoardCase(facts=facts, serial=self.serial, record=record)


def draft(
    sources: Sources, named: Named, place: Place, unit_serial: str | None, *, proposed: bool, assumed: bool
) -> Draft:
    """One stated board in its place."""
    binding, holds = agreed(
        _binding(named.stated, named.record),
        holder_known(sources, named.stated, named.record, unit_serial),
        unknown=nobody_speaks(unit_serial),
    )
    return Draft(
        named=named,
        place=place,
        proposed=proposed,
        assumed=assumed,
        binding=binding,
        holds=holds,
        introduced=_introduced(named.stated),
        release=_release(sources, named, place),
        cases={},
    )


def proposed_draft(sources: Sources, named: Named, place: Place, unit_serial: str | None) -> Draft:
    """A proposed board in its place. Where nothing is stated of it, all that it can have to do with a unit is
    to hold its serial, so it is drafted once for all other units that are asked about together."""
    if not named.stated.silent:
        return draft(sources, named, place, unit_serial, proposed=True, assumed=False)
    holds_it = named.record is not None and named.record.held_serial == unit_serial
    key = named.stated, place, unit_serial and holds_it
    found: Draft | None = sources.boards.get(key)
    if found is None:
        found = draft(sources, named, place, unit_serial, proposed=True, assumed=False)
        sources.boards[key] = found
    return found


def _release(sources: Sources, named: Named, place: Place) -> Known:
    """What is on it: as read, as recorded, as claimed. A name that the catalogue can't read says nothing."""
    stated, record = named.stated, named.record
    told = (
        (stated.read.release, Basis.READ),
        (record.release if record else None, Basis.RECORDED),
        (stated.claimed.release, Basis.CLAIMED),
    )
    catalogue, heard = sources.compiled.catalogue, [each for each in told if each[0]]
    known = [_one(release_named(catalogue, place.role, name), basis) for name, basis in heard if name]
    return stronger_wins(*known)


def _binding(stated: StatedBoard, record: BoardRecord | None) -> Known:
    recorded = recorded_binding(record.binding) if record else NOTHING_KNOWN
    if stated.silent:
        return recorded
    return join(
        recorded,
        _binding_of(stated.read, Basis.READ),
        _binding_of(stated.claimed, Basis.CLAIMED),
    )


def _binding_of(statement: Statement, basis: Basis) -> Known:
    return stated_binding(statement.binding, statement.bound_model, basis)


def _condition(stated: StatedBoard, record: BoardRecord | None) -> Known:
    """A board nobody speaks of is usable, so a record of `usable` never overrules a claim of damage."""
    recorded = _recorded_condition(record.conditions) if record else NOTHING_KNOWN
    if stated.silent:
        return recorded
    read, claimed = _condition_of(stated.read, Basis.READ), _condition_of(stated.claimed, Basis.CLAIMED)
    return stronger_wins(read, recorded, claimed)


@cache
def _recorded_condition(conditions: frozenset[Condition]) -> Known:
    if conditions == {Condition.USABLE}:
        return NOTHING_KNOWN
    return Known(values=frozenset(map(str, conditions)), basis=Basis.RECORDED)


def _condition_of(statement: Statement, basis: Basis) -> Known:
    if statement.condition is None:
        return NOTHING_KNOWN
    return Known(values=CONDITIONS[statement.condition], basis=basis)


def _introduced(stated: StatedBoard) -> Known:
    if stated.silent:
        return NOTHING_KNOWN
    return stronger_wins(
        _yes_or_no(stated.read.introduced, Basis.READ), _yes_or_no(stated.claimed.introduced, Basis.CLAIMED)
    )


@cache
def _yes_or_no(value: bool | None, basis: Basis) -> Known:
    if value is None:
        return NOTHING_KNOWN
    return Known(values=frozenset({"yes" if value else "no"}), basis=basis)


@lru_cache(maxsize=4_096)
def _labelled(parts: frozenset[PartNumber]) -> Known:
    """What a label says of the part; a product code may stand for several."""
    return Known(values=frozenset(map(str, parts)), basis=Basis.RECORDED) if parts else NOTHING_KNOWN


@lru_cache(maxsize=4_096)
def _one(value: str | None, basis: Basis) -> Known:
    return NOTHING_KNOWN if value is None else Known(values=frozenset({value}), basis=basis)
