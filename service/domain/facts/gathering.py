"""From a question and the ledger's records to a case: whose word counts, board by board."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.board_case import Draft, Named, draft, find
from service.domain.facts.case import Case, case_facts
from service.domain.facts.identity import UnitFacts, unit_facts
from service.domain.facts.pairing import company
from service.domain.facts.placing import place_of, refuse_unknown_names, roles_of
from service.domain.facts.question import (
    MAX_BOARDS,
    ImpossibleQuestion,
    Question,
    StatedBoard,
    StatedUnit,
)
from service.domain.facts.records import Records, UnitRecord
from service.domain.facts.report import boards_with_report, unit_with_reading
from service.domain.facts.sources import Sources
from service.domain.place import Place
from service.domain.terms import Basis, Holds, RoleId, Serial

NO_RECORDS = Records(boards={}, units={}, ledger_version=0)


def serials_of(compiled: CompiledCatalogue, question: Question) -> tuple[set[Serial], set[Serial]]:
    """The board and unit serials that a question speaks of, compacted: what a gather must look up."""
    boards = (*question.boards, *question.unit.boards)
    held = (word.holds for board in boards for word in (board.claimed, board.read))
    units = (question.unit.serial, question.unit.read_serial, *held)
    return (
        {compiled.read_board(board.serial).serial for board in boards if board.serial},
        {compiled.read_unit(text).serial for text in units if text},
    )


def case_from(sources: Sources, question: Question) -> Case:
    """The case of a question, from sources that several questions may share.

    Raises ImpossibleQuestion for a question that cannot be put, with the place in it.
    """
    if len(question.boards) + len(question.unit.boards) > MAX_BOARDS:
        raise ImpossibleQuestion("too_many_boards", "/boards", limit=str(MAX_BOARDS))
    refuse_unknown_names(sources.compiled, question)
    return _Gathering(sources.compiled, question, sources).case()


@dataclass(frozen=True, slots=True)
class _Gathering:
    compiled: CompiledCatalogue
    question: Question
    sources: Sources

    def case(self) -> Case:
        stated = unit_with_reading(self.question.unit, self.compiled)
        unit = unit_facts(self.compiled, stated, self._unit_record(stated))
        present, empty = self._present(unit)
        drafts, open_roles = self._proposed(unit, empty)
        present, empty = _moved_out(drafts, present, empty, unit.serial)
        beside = company(drafts, present.values(), self.compiled.naming_roles, unit.record)
        proposed = tuple(map(beside.finished, drafts))
        staying = {place: beside.finished(board) for place, board in present.items()}
        if _carries_another_serial(unit, present.values(), self.compiled.naming_roles):
            unit = unit._replace(serial_conflict=True)
        facts = case_facts(
            unit.hubs,
            unit.model,
            unit.settled,
            unit.serial_conflict,
            unit.unknown_layout,
            tuple(board.facts for board in proposed),
            tuple(board.facts for board in staying.values()),
            empty,
            self._assume(unit),
            self._accessories(unit),
            self.question.means,
            self.question.every_question,
            open_roles,
        )
        return Case(facts=facts, unit=unit, proposed=proposed, present=staying)

    def _assume(self, unit: UnitFacts) -> bool:
        """Whether untouched places are as the factory left them; it never saw a converted unit."""
        return self.question.assume and not (unit.record is not None and unit.record.converted)

    def _accessories(self, unit: UnitFacts) -> tuple[tuple[str, int], ...]:
        recorded = unit.record.accessories if unit.record else {}
        if not recorded and not self.question.unit.accessories:
            return ()
        return tuple(sorted({**recorded, **self.question.unit.accessories}.items()))

    def _unit_record(self, stated: StatedUnit) -> UnitRecord | None:
        for text in (stated.serial, stated.read_serial):
            if text:
                serial = self.compiled.read_unit(text).serial
                found = self.sources.records.units.get(serial)
                if found is not None:
                    return found
        return None

    def _present(self, unit: UnitFacts) -> tuple[dict[Place, Draft], frozenset[Place]]:
        """Boards that sit in the unit, as recorded and as stated; and places known to be empty."""
        present = {**self._seated(unit), **self._strayed(unit)}
        empty = {Place(*key) for key in (unit.record.emptied if unit.record else ())}
        stated_places: set[Place] = set()
        for index, stated in enumerate(boards_with_report(self.question.unit, self.compiled)):
            named = find(self.sources, stated)
            place = self._stated_place(named, f"/unit/boards/{index}", stated_places)
            stated_places.add(place)
            if stated.empty:
                present.pop(place, None)
                empty.add(place)
            else:
                empty.discard(place)
                present[place] = self._stated(named, unit, place)
        return present, frozenset(empty)

    def _seated(self, unit: UnitFacts) -> Mapping[Place, Draft]:
        """The boards recorded in the unit."""
        if unit.record is None or not unit.record.boards:
            return {}
        key = unit.serial, self.question.assume
        seated = self.sources.seated.get(key)
        if seated is None:
            places = [Place(*each) for each in unit.record.boards]
            seated = self.sources.seated[key] = {place: self._recorded(unit, place) for place in places}
        return seated

    def _strayed(self, unit: UnitFacts) -> dict[Place, Draft]:
        """Places whose board was changed for one that nobody recorded: something sits there, not what the
        factory fitted."""
        if unit.record is None or not unit.record.changed:
            return {}
        unknown = unit.record.changed - unit.record.boards.keys() - unit.record.emptied
        nothing = {Place(*key): StatedBoard(role=key[0], place=key[1]) for key in unknown}
        return {
            place: self._board(find(self.sources, stated), unit, place, proposed=False)
            for place, stated in nothing.items()
        }

    def _stated_place(self, named: Named, pointer: str, taken: set[Place]) -> Place:
        roles = roles_of(self.compiled, named.stated, named.part, pointer)
        if len(roles) != 1:
            raise ImpossibleQuestion("role_needed", f"{pointer}/role")
        place = place_of(self.compiled, named.stated, roles[0], pointer, taken)
        if place in taken:
            raise ImpossibleQuestion("place_taken_twice", pointer, place=str(place))
        return place

    def _recorded(self, unit: UnitFacts, place: Place) -> Draft:
        """A board recorded as fitted; the unit's record brings it along."""
        assert unit.record is not None
        record = unit.record.boards[place.role, place.name]
        named = find(self.sources, StatedBoard(serial=record.serial, role=place.role), record)
        return self._board(named, unit, place, proposed=False)

    def _stated(self, named: Named, unit: UnitFacts, place: Place) -> Draft:
        """A stated board; one without a serial of its own is taken to be the recorded one."""
        record = unit.record.boards.get((place.role, place.name)) if unit.record else None
        if named.label is None and record is not None:
            named = find(self.sources, named.stated._replace(serial=record.serial), record)
        return self._board(named, unit, place, proposed=False)

    def _board(self, named: Named, unit: UnitFacts, place: Place, *, proposed: bool) -> Draft:
        changed = unit.record is not None and (place.role, place.name) in unit.record.changed
        assumed = self._assume(unit) and not proposed and not changed
        return draft(self.sources, named, place, unit.serial, proposed=proposed, assumed=assumed)

    def _proposed(
        self, unit: UnitFacts, empty: frozenset[Place]
    ) -> tuple[tuple[Draft, ...], tuple[RoleId, ...]]:
        boards: list[Draft] = []
        open_roles: tuple[RoleId, ...] = ()
        seen: dict[str, int] = {}
        for index, stated in enumerate(self.question.boards):
            pointer = f"/boards/{index}"
            named = find(self.sources, stated)
            if named.label is not None and seen.setdefault(named.label.serial, index) != index:
                raise ImpossibleQuestion("board_named_twice", f"{pointer}/serial", serial=named.label.serial)
            roles = roles_of(self.compiled, stated, named.part, pointer)
            if len(roles) > 1 and len(self.question.boards) > 1:
                raise ImpossibleQuestion("role_needed", f"{pointer}/role")
            open_roles = roles if len(roles) > 1 else ()
            for role in roles:
                taken = {board.place for board in boards}
                place = place_of(self.compiled, stated, role, pointer, taken, empty)
                if place in taken:
                    raise ImpossibleQuestion("place_taken_twice", pointer, place=str(place))
                boards.append(self._board(named, unit, place, proposed=True))
        return tuple(boards), open_roles


def _carries_another_serial(unit: UnitFacts, staying: Iterable[Draft], naming: Collection[RoleId]) -> bool:
    """Rule 1: whether a naming board that stays was read or recorded with another serial than the plate's.

    As when a swap broke off before the serial was entered: two machines would go by one serial.
    """
    return unit.plate is not None and any(
        board.place.role in naming
        and board.holds.values is not None
        and board.holds.values.isdisjoint((Holds.THIS_UNIT, Holds.NOTHING))
        and board.holds.basis in (Basis.READ, Basis.RECORDED)
        for board in staying
    )


def _moved_out(
    proposed: Collection[Draft], present: dict[Place, Draft], empty: frozenset[Place], unit: str | None
) -> tuple[dict[Place, Draft], frozenset[Place]]:
    """A proposed board that sits in another place of this very unit leaves that place empty."""
    records = (board.named.record for board in proposed)
    here = (record for record in records if record is not None and record.in_unit == unit is not None)
    left = {Place(record.role, record.place) for record in here if record.role is not None}
    left -= {board.place for board in proposed}
    if not left:
        return present, empty
    return {place: board for place, board in present.items() if place not in left}, empty | left
