"""From a question and the ledger's records to a case: whose word counts, board by board."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.board_case import Draft, offered, proposed_draft
from service.domain.facts.case import Case, case_facts
from service.domain.facts.host import Host, host_of
from service.domain.facts.pairing import company
from service.domain.facts.placing import place_of, refuse_unknown_names, roles_of
from service.domain.facts.question import (
    MAX_BOARDS,
    ImpossibleQuestion,
    Question,
    StatedBoard,
)
from service.domain.facts.records import Records
from service.domain.facts.sources import Sources
from service.domain.place import Place
from service.domain.terms import RoleId, Serial

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
    host = host_of(sources, question.unit, assume=question.assume)
    drafts, open_roles = _proposed(sources, question.boards, host)
    host = _less_what_moved(host, drafts, sources.compiled.naming_roles)
    beside = company(drafts, host, sources.compiled.naming_roles)
    proposed = tuple(map(beside.finished, drafts))
    staying = {place: beside.finished(board) for place, board in host.present.items()}
    unit = host.unit._replace(serial_conflict=True) if host.carries_another_serial else host.unit
    facts = case_facts(
        unit.hubs,
        unit.model,
        unit.settled,
        unit.serial_conflict,
        unit.unknown_layout,
        tuple([board.facts for board in proposed]),
        tuple([board.facts for board in staying.values()]),
        host.empty,
        host.assume,
        host.accessories,
        question.means,
        question.every_question,
        open_roles,
    )
    return Case(facts=facts, unit=unit, proposed=proposed, present=staying)


def _proposed(
    sources: Sources, boards: Sequence[StatedBoard], host: Host
) -> tuple[list[Draft], tuple[RoleId, ...]]:
    """The proposed boards in their places; where the role of the only one is open, one for each."""
    drafts: list[Draft] = []
    open_roles: tuple[RoleId, ...] = ()
    seen: dict[str, int] = {}
    taken: set[Place] = set()
    for index, stated in enumerate(boards):
        pointer = f"/boards/{index}"
        named = offered(sources, stated)
        if named.label is not None and seen.setdefault(named.label.serial, index) != index:
            raise ImpossibleQuestion("board_named_twice", f"{pointer}/serial", serial=named.label.serial)
        roles = roles_of(sources.compiled, stated, named.part, pointer)
        if len(roles) > 1 and len(boards) > 1:
            raise ImpossibleQuestion("role_needed", f"{pointer}/role")
        open_roles = roles if len(roles) > 1 else ()
        for role in roles:
            place = place_of(sources.compiled, stated, role, pointer, taken, host.empty)
            if place in taken:
                raise ImpossibleQuestion("place_taken_twice", pointer, place=str(place))
            taken.add(place)
            drafts.append(proposed_draft(sources, named, place, host.unit.serial))
    return drafts, open_roles


def _less_what_moved(host: Host, proposed: Iterable[Draft], naming_roles: Collection[RoleId]) -> Host:
    """A proposed board that sits in another place of this very unit leaves that place empty."""
    left: set[Place] = set()
    for board in proposed:
        record = board.named.record
        if record is not None and record.in_unit is not None and record.in_unit == host.unit.serial:
            left |= {Place(record.role, record.place)} if record.role is not None else set()
    left -= {board.place for board in proposed} if left else set()
    return host.without(left, naming_roles) if left else host
