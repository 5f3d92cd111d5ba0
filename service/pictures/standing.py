"""What an answer knows of each place: every value that a fact has in some world. No word yet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from service.domain.facts.case import BoardCase
from service.domain.fit.answer import Answer
from service.domain.fit.decision import Reason
from service.domain.fit.worlds import Row, table_again
from service.domain.place import Place
from service.domain.rules.board import Board
from service.domain.rules.needed import CODES
from service.domain.terms import BindingPolicy, Holds, ModelId, PartNumber, Rule
from service.pictures.content import Mark, Pair, Tie

NEEDS = frozenset({*CODES.values(), "takes_model_permanently", "needs_a_step"})
"""Reasons that tell what is still to be done with a board that fits."""
SAID_OF_THE_SET = frozenset({"boards_disagree", "starts_as_another_machine"})
"""Reasons that tell what follows for the set; the board at fault has a reason of its own."""
DOUBTS = frozenset({"facts_contradict"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One place, as it is in all worlds."""

    place: Place
    exists: bool
    """Whether the machine has this place."""
    empty: bool
    board: BoardCase | None
    """The board that is proposed, stated or recorded; None where nothing is said of it."""
    worlds: tuple[tuple[ModelId, Board], ...]
    """The machine's model and the board here, for each possible board; none while nothing can be told."""
    policies: frozenset[BindingPolicy]
    """What the parts that it may be do with the machine's identity."""
    reasons: tuple[Reason, ...]
    assume: bool
    """Whether a place that nobody speaks of is taken to be as the factory left it."""

    covered: bool
    """Whether the catalogue gives answers about this machine."""

    @property
    def made_without(self) -> bool:
        """Whether the machine left the factory without a board here, as far as is known."""
        return self.board is None and not self.worlds and self.covered

    @property
    def proposed(self) -> bool:
        return self.board is not None and self.board.proposed

    @property
    def names(self) -> bool:
        return BindingPolicy.NAMES in self.policies

    @property
    def follows(self) -> bool:
        return BindingPolicy.FOLLOWS in self.policies

    @property
    def binds(self) -> bool:
        return self.names or self.follows

    @property
    def as_made(self) -> bool:
        """Whether what is told of it rests on nobody having changed it."""
        if self.empty or self.board is None:
            return self.assume and not self.empty and bool(self.worlds)
        known = self.board.binding if self.binds else self.board.part
        return known.values is None and self.board.facts.assumed

    @property
    def parts(self) -> tuple[PartNumber, ...]:
        return tuple(sorted({board.part for _, board in self.worlds} or self._known_parts()))

    def _known_parts(self) -> set[PartNumber]:
        known = self.board.part.values if self.board else None
        return set(map(PartNumber, known or ()))

    @property
    def bindings(self) -> frozenset[ModelId | None]:
        """The models that it may be programmed for, None for blank."""
        return frozenset(board.binding for _, board in self.worlds)

    @property
    def holds(self) -> frozenset[Holds]:
        return frozenset(board.holds for _, board in self.worlds)

    @property
    def tie(self) -> Tie | None:
        """Whether it is programmed for the machine's model."""
        if not self.binds or self.empty:
            return None
        found = {board.binding is not None and board.binding == model for model, board in self.worlds}
        if None in self.bindings or len(found) != 1:
            return Tie.OPEN
        return Tie.SAME if True in found else Tie.OTHER

    @property
    def pair(self) -> Pair | None:
        """Whether it is introduced to the board that names the model."""
        if not self.follows or self.empty or not self.worlds:
            return None
        match {board.introduced for _, board in self.worlds}:
            case found if len(found) > 1:
                return Pair.NOT_KNOWN
            case found:
                return Pair.INTRODUCED if True in found else Pair.NOT_INTRODUCED

    @property
    def mark(self) -> Mark:
        """How the board stands here, the worst first."""
        failing = [r for r in self.reasons if _fails(r)]
        if any(reason.certain for reason in failing):
            return Mark.IN_THE_WAY
        if failing or any(r.code in DOUBTS for r in self.reasons):
            return Mark.NOT_KNOWN
        needed = [reason.certain for reason in self.reasons if reason.code in NEEDS]
        if needed:
            return Mark.TO_DO if any(needed) else Mark.NOT_KNOWN
        if self.empty or not self.exists:
            return Mark.EMPTY
        return self._quiet_mark()

    def _quiet_mark(self) -> Mark:
        """The mark of a place that no reason speaks of."""
        if not self.worlds:
            return Mark.EMPTY if self.made_without else Mark.NOT_KNOWN
        if (self.binds and self.tie is Tie.OPEN) or (self.board is None and not self.assume):
            return Mark.NOT_KNOWN
        return Mark.AS_MADE if self.as_made else Mark.IN_ORDER


def _fails(reason: Reason) -> bool:
    return reason.rule > Rule.IDENTITY and reason.code not in NEEDS | SAID_OF_THE_SET


def standings(answer: Answer) -> tuple[Standing, ...]:
    """Every place of the machine, and those of proposed boards besides: first the board that names the
    model, then those that follow it, then the others, each in the catalogue's order."""
    return tuple(sorted(_standings(answer), key=lambda each: (not each.names, not each.follows)))


def proposed_without_role(answer: Answer) -> BoardCase | None:
    """The one proposed board whose role is open."""
    return answer.case.proposed[0] if answer.case.facts.open_roles else None


def _standings(answer: Answer) -> Iterator[Standing]:
    case = answer.case
    own = dict.fromkeys(place for hub in case.unit.hubs for place in hub.places)
    rows = table_again(case.facts)
    here = {} if case.facts.open_roles else {board.place: board for board in case.proposed}
    for place in dict.fromkeys((*own, *here)):
        board = here.get(place) or case.present.get(place)
        worlds = tuple(_worlds(rows, place))
        yield Standing(
            place=place,
            exists=place in own,
            empty=board is None and (place in case.empty),
            board=board,
            worlds=worlds,
            policies=frozenset(_policies(answer, place, {each.part for _, each in worlds})),
            reasons=tuple(each.reason for each in answer.reasons if each.reason.place == place),
            assume=case.facts.assume,
            covered=any(hub.covered for hub in case.unit.hubs),
        )


def _worlds(rows: Iterable[Row], place: Place) -> Iterator[tuple[ModelId, Board]]:
    found = (
        (row.hub.model.id, cell.board)
        for row in rows
        if place in row.places and row.open_role in {None, place.role}
        for cell in row.places[place].cells
    )
    yield from dict.fromkeys(found)


def _policies(answer: Answer, place: Place, parts: Iterable[PartNumber]) -> Iterator[BindingPolicy]:
    """Of the parts that it may be; where none is known, of all parts of the role."""
    hub = answer.case.unit.hubs[0]
    known = tuple(parts) or hub.compiled.parts_of_role.get(place.role, ())
    yield from (hub.parts[number].binding for number in known)


def naming_place(found: Iterable[Standing]) -> Place | None:
    """The place of the board that names, where one is there."""
    return next((each.place for each in found if each.names and not each.empty and each.worlds), None)
