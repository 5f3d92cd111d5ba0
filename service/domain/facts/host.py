"""The unit that a question is about, with all that sits in it, before anything else is proposed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from service.domain.catalogue.model import Family
from service.domain.facts.board_case import Draft, Named, came_from_elsewhere, draft, find
from service.domain.facts.identity import UnitFacts, unit_facts
from service.domain.facts.known import NOTHING_KNOWN
from service.domain.facts.placing import place_of, roles_of
from service.domain.facts.question import ImpossibleQuestion, StatedBoard, StatedUnit
from service.domain.facts.records import UnitRecord
from service.domain.facts.report import boards_with_report, unit_with_reading
from service.domain.facts.sources import Sources
from service.domain.place import Place
from service.domain.terms import Basis, Holds, RoleId


class Host(NamedTuple):
    """A unit as it is. Never changed: questions about the same unit share it."""

    unit: UnitFacts
    present: Mapping[Place, Draft]
    """Boards stated or recorded to sit in it."""
    empty: frozenset[Place]
    """Places stated or recorded to be empty."""
    assume: bool
    """Whether untouched places are as the factory left them; it never saw a converted unit."""
    accessories: tuple[tuple[str, int], ...]
    namer: Draft | None
    """The naming board that sits in it, as far as it is known."""
    carries_another_serial: bool
    """Rule 1: whether a naming board in it was read or recorded with another serial than the plate's, as when
    a swap broke off before the serial was entered: two machines would go by one serial."""

    def without(self, places: Collection[Place], naming_roles: Collection[RoleId]) -> Host:
        """The same with these places emptied."""
        staying = {place: board for place, board in self.present.items() if place not in places}
        return self._replace(
            present=staying,
            empty=self.empty.union(places),
            namer=naming_board(staying.values(), naming_roles),
            carries_another_serial=_carries_another_serial(self.unit, staying.values(), naming_roles),
        )


def host_of(sources: Sources, stated: StatedUnit, *, assume: bool) -> Host:
    """The unit of a question; made once for all questions that are asked together about the same unit.

    Raises ImpossibleQuestion for what is stated of boards in it and cannot be.
    """
    found: Host | None = sources.hosts.get((stated, assume))
    if found is None:
        found = sources.hosts[stated, assume] = _made(sources, stated, assume=assume)
    return found


def _made(sources: Sources, stated: StatedUnit, *, assume: bool) -> Host:
    compiled = sources.compiled
    told = unit_with_reading(stated, compiled)
    record = _unit_record(sources, told)
    unit = unit_facts(compiled, told, record)
    as_made = assume and not (record is not None and record.converted)
    present, empty = _Seats(sources, stated, unit, as_made).taken()
    return Host(
        unit=unit,
        present=present,
        empty=empty,
        assume=as_made,
        accessories=_accessories(stated, record),
        namer=naming_board(present.values(), compiled.naming_roles),
        carries_another_serial=_carries_another_serial(unit, present.values(), compiled.naming_roles),
    )


@dataclass(frozen=True, slots=True)
class _Seats:
    """Who sits where."""

    sources: Sources
    stated: StatedUnit
    unit: UnitFacts
    assume: bool

    def taken(self) -> tuple[dict[Place, Draft], frozenset[Place]]:
        """Boards that sit in the unit, as recorded and as stated; and places known to be empty."""
        present = {**self._seated(), **self._strayed()}
        empty = {Place(*key) for key in (self.unit.record.emptied if self.unit.record else ())}
        stated_places: set[Place] = set()
        for index, stated in enumerate(boards_with_report(self.stated, self.sources.compiled)):
            named = find(self.sources, stated)
            place = self._stated_place(named, f"/unit/boards/{index}", stated_places)
            stated_places.add(place)
            if stated.empty:
                present.pop(place, None)
                empty.add(place)
            else:
                empty.discard(place)
                present[place] = self._stated(named, place)
        return present, frozenset(empty)

    def _seated(self) -> dict[Place, Draft]:
        """The boards recorded in the unit."""
        if self.unit.record is None:
            return {}
        return {place: self._recorded(place) for place in (Place(*key) for key in self.unit.record.boards)}

    def _strayed(self) -> dict[Place, Draft]:
        """Places whose board was changed for one that nobody recorded: something sits there, not what the
        factory fitted."""
        if self.unit.record is None or not self.unit.record.changed:
            return {}
        unknown = self.unit.record.changed - self.unit.record.boards.keys() - self.unit.record.emptied
        nothing = {Place(*key): StatedBoard(role=key[0], place=key[1]) for key in unknown}
        return {place: self._board(find(self.sources, stated), place) for place, stated in nothing.items()}

    def _stated_place(self, named: Named, pointer: str, taken: set[Place]) -> Place:
        compiled = self.sources.compiled
        roles = roles_of(compiled, named.stated, named.part, pointer)
        if len(roles) != 1:
            raise ImpossibleQuestion("role_needed", f"{pointer}/role")
        place = place_of(compiled, named.stated, roles[0], pointer, taken)
        if place in taken:
            raise ImpossibleQuestion("place_taken_twice", pointer, place=str(place))
        return place

    def _recorded(self, place: Place) -> Draft:
        """A board recorded as fitted; the unit's record brings it along."""
        assert self.unit.record is not None
        record = self.unit.record.boards[place]
        return self._board(
            find(self.sources, StatedBoard(serial=record.serial, role=place.role), record), place
        )

    def _stated(self, named: Named, place: Place) -> Draft:
        """A stated board; one without a serial of its own is taken to be the recorded one."""
        record = self.unit.record.boards.get(place) if self.unit.record else None
        if named.label is None and record is not None:
            named = find(self.sources, named.stated._replace(serial=record.serial), record)
        return self._board(named, place)

    def _board(self, named: Named, place: Place) -> Draft:
        changed = self.unit.record is not None and place in self.unit.record.changed
        assumed = self.assume and not changed and not came_from_elsewhere(named, self.unit.serial)
        found = draft(self.sources, named, place, self.unit.serial, proposed=False, assumed=assumed)
        if self.unit.serial is None and Holds.NOTHING not in (found.holds.values or ()):
            # Of a unit that nobody names it may well be the very serial.
            return found._replace(holds=NOTHING_KNOWN)
        return found


def _unit_record(sources: Sources, stated: StatedUnit) -> UnitRecord | None:
    for text in (stated.serial, stated.read_serial):
        if text:
            found = sources.records.units.get(sources.compiled.read_unit(text).serial)
            if found is not None:
                return found
    return None


def _accessories(stated: StatedUnit, record: UnitRecord | None) -> tuple[tuple[str, int], ...]:
    recorded = record.accessories if record else {}
    return tuple(sorted({**recorded, **dict(stated.accessories)}.items()))


def naming_board(boards: Iterable[Draft], naming_roles: Collection[RoleId]) -> Draft | None:
    """The first of the boards that names, by the roles that do."""
    return next((board for board in boards if board.place.role in naming_roles), None)


def _carries_another_serial(
    unit: UnitFacts, staying: Iterable[Draft], naming_roles: Collection[RoleId]
) -> bool:
    return unit.plate is not None and any(
        board.place.role in naming_roles
        and board.holds.values is not None
        and board.holds.values.isdisjoint((Holds.THIS_UNIT, Holds.NOTHING))
        and board.holds.basis in (Basis.READ, Basis.RECORDED)
        and not _is_swapped(unit, board)
        for board in staying
    )


def _is_swapped(unit: UnitFacts, board: Draft) -> bool:
    """Whether we recorded ourselves how the board came in, and the unit's serial only has to be entered yet:
    that is no riddle, and the plan has the step."""
    changed = unit.record is not None and board.place in unit.record.changed
    if not changed or board.holds.basis is not Basis.RECORDED:
        return False
    return all(_is_entered(hub.family, board.holds.values or frozenset()) for hub in unit.hubs)


def _is_entered(family: Family, holders: frozenset[str]) -> bool:
    in_service = Holds.IN_SERVICE in holders
    return (in_service or family.always_enter_serial) and (family.another_serial_allowed or not in_service)
