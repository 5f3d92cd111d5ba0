"""Which boards in stock may go into a unit, the best first (Q8)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Part
from service.domain.facts.identity import UnitFacts
from service.domain.facts.question import ImpossibleQuestion, Question, StatedBoard, StatedUnit, Statement
from service.domain.facts.records import BoardRecord
from service.domain.facts.sources import Sources
from service.domain.fit.answer import Answer, answer_from
from service.domain.parts.for_unit import parts_of_unit
from service.domain.place import Place
from service.domain.terms import Fit, PartNumber, RoleId, Serial
from service.store.stock import Bound, Group, Shelved, shelved
from service.usecases.caller import Caller
from service.usecases.fit import check_many
from service.usecases.shelving import Offer, Position, bound_of, groups_for, in_stock, offer
from service.usecases.shop import Shop
from service.usecases.unidentified import Unidentified, serials_that_may_suit, unidentified
from service.usecases.units import must_be_known


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A board in stock that may go there."""

    record: BoardRecord
    bound: Bound
    part: Part
    answer: Answer
    position: Position


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidates:
    """A page of them."""

    unit: UnitFacts
    place: Place
    items: Sequence[Candidate]
    more: bool
    """Whether further ones follow."""
    unidentified: Sequence[Unidentified]
    """After the last of them: boards that may be of a part for that place, which nobody has found out."""
    none: Answer | None
    """Why no board at all may go there, whichever is in stock; None where some may."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A board wanted for one place of one unit."""

    serial: str
    role: str
    place: str | None = None

    def question(self, board: StatedBoard) -> Question:
        return Question(unit=StatedUnit(serial=self.serial), boards=(board,))

    def described(self, claimed: Statement) -> Question:
        """The question of any board there of which so much is known."""
        return self.question(StatedBoard(role=RoleId(self.role), place=self.place, claimed=claimed))

    def named(self, serial: Serial) -> Question:
        """The question of one very board there."""
        return self.question(StatedBoard(serial=serial, role=RoleId(self.role), place=self.place))


def candidates(
    shop: Shop, caller: Caller, wanted: Wanted, *, size: int, after: Position | None = None
) -> Candidates:
    """The next `size` boards in stock for one place of a unit, in the order of `shelving`.

    What is in stock is in our custody, in no unit, not sold, not held, and usable. A board that does not
    fit is left out; one of which that is not known is told as such. Raises NotFound for a unit that is
    neither recorded nor readable, ImpossibleQuestion for a role or a place that does not exist.
    """
    compiled = shop.catalogue()
    sources = _sources(shop, compiled, wanted)
    any_board = answer_from(sources, wanted.described(Statement()))
    unit = any_board.case.unit
    must_be_known(unit, wanted.serial)
    suiting = {
        each.part.number: each.part for each in parts_of_unit(compiled, unit) if each.part.role == wanted.role
    }
    found = list(_fitting_groups(sources, wanted, unit, suiting))
    offered = offer(Serial(unit.serial or ""), found, suiting, foreign_serials=_takes_foreign_serials(unit))
    items = _page(shop, caller, wanted, offered, after, size + 1) if found else []
    last = len(items) <= size
    open_parts = serials_that_may_suit(shop, suiting) if found and last else []
    return Candidates(
        unit=unit,
        place=any_board.case.proposed[0].place,
        items=items[:size],
        more=not last,
        unidentified=tuple(unidentified(shop, caller, suiting, list(map(wanted.named, open_parts)))),
        none=None if found else any_board,
    )


def _sources(shop: Shop, compiled: CompiledCatalogue, wanted: Wanted) -> Sources:
    unit = compiled.read_unit(wanted.serial).serial
    return Sources(compiled=compiled, records=shop.gather((), (unit,), None), looked_up=True)


def _fitting_groups(
    sources: Sources, wanted: Wanted, unit: UnitFacts, parts: Mapping[PartNumber, Part]
) -> Iterator[Group]:
    """The groups whose boards may fit. What all boards of a group share is put as a question of its own:
    where the answer is no already, no single one of them can fit, and none is read."""
    outcomes: dict[Statement, Fit] = {}
    for group in groups_for(parts.values(), unit.model.values or ()):
        shared = _shared(group, unit)
        if shared not in outcomes:
            outcomes[shared] = answer_from(sources, wanted.described(shared)).fit
        if outcomes[shared] is not Fit.NO:
            yield group


def _shared(group: Group, unit: UnitFacts) -> Statement:
    """What is known of every board of a group."""
    match group.bound:
        case Bound.THIS_UNIT:
            return Statement(part=group.part, holds=unit.serial)
        case Bound.MODEL:
            return Statement(part=group.part, binding="bound", bound_model=group.model)
        case Bound.BLANK:
            return Statement(part=group.part, binding="blank")
        case Bound.NOT_KNOWN | Bound.ANYTHING:
            return Statement(part=group.part)


def _takes_foreign_serials(unit: UnitFacts) -> bool:
    """Whether a board with the serial of a unit in service elsewhere may fit (rule 8)."""
    return any(hub.family.another_serial_allowed for hub in unit.hubs)


def _page(
    shop: Shop, caller: Caller, wanted: Wanted, offered: Offer, after: Position | None, size: int
) -> list[Candidate]:
    """The first boards that may fit, read until there are so many of them or no more in stock."""
    found: list[Candidate] = []
    last, read = offered.after(after), size
    while read == size and len(found) < size:
        boards = shop.reader.read(partial(shelved, shelf=offered.shelf, after=last, limit=size))
        found += _judged(shop, caller, wanted, offered, boards)
        last, read = boards[-1] if boards else last, len(boards)
    return found[:size]


def _judged(
    shop: Shop, caller: Caller, wanted: Wanted, offered: Offer, boards: Sequence[Shelved]
) -> Iterator[Candidate]:
    """Those that may fit and lie in stock still: somebody may have taken one since the list was read."""
    parts = shop.catalogue().catalogue.parts
    answers = check_many(shop, caller, [wanted.named(board.serial) for board in boards])
    for board, answer in zip(boards, answers, strict=True):
        if isinstance(answer, ImpossibleQuestion) or answer.fit is Fit.NO:
            continue
        record = answer.case.proposed[0].record
        if record is not None and record.part is not None and in_stock(record):
            part, position = parts[record.part], offered.position(board)
            yield Candidate(
                record=record, part=part, bound=bound_of(part, position), answer=answer, position=position
            )
