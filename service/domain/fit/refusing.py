"""Why a unit may refuse to run, and where one looks, in which order (Q9).

Its boards disagree, and then a board has to change; or they were never introduced, and programming mends
it; or they agree as far as anybody knows, and then one of them may not be connected. What is told here
follows from the answer about the unit as it is, with nothing proposed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from service.domain.catalogue.hub import Hub
from service.domain.facts.case import BoardCase, Case
from service.domain.fit.answer import Answer
from service.domain.fit.conclusion import GroundedReason
from service.domain.fit.own_boards import perhaps_not_usable, surely_not_usable
from service.domain.place import Place
from service.domain.terms import BindingPolicy, Fit, PartNumber, Programming, RoleId, Rule


class RefusalCause(StrEnum):
    """What keeps a unit from running, in the order in which one deals with it. Closed."""

    BOARDS_DISAGREE = "boards_disagree"
    """A board is bound to another model than the unit's: it has to change."""
    INCOMPLETE = "incomplete"
    """A board that the model requires is missing, or lacks what the model requires of it."""
    RELEASES_DISAGREE = "releases_disagree"
    """The software of the boards does not go together, and no loads bring it together."""
    NOT_USABLE = "not_usable"
    """A board in it is, or may be, scrapped, failed on test, or exposed and not tested since."""
    NOT_INTRODUCED = "not_introduced"
    """The boards agree on the model; programming between them is missing, or never happened."""
    NOT_CONNECTED = "not_connected"
    """Nothing recorded stands in the way: a board may not be connected."""
    UNKNOWN = "unknown"
    """It depends on what is not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One thing to look at: a board and what was found of it, or a board and the cable that it hangs on."""

    place: Place
    """For a cable, the role alone: equal places of a role hang on equal cables."""
    found: GroundedReason | None = None
    cable: str | None = None
    through: RoleId | None = None
    """The board at the other end of the cable."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why a unit may refuse to run."""

    causes: tuple[RefusalCause, ...]
    """All that is found, the first to be dealt with first; never empty."""
    looks: tuple[Look, ...]
    """Where to look, in order."""

    @property
    def cause(self) -> RefusalCause:
        """The one to deal with first."""
        return self.causes[0]


NOT_INTRODUCED = frozenset({"no"})
SAID_OF_THE_SET = frozenset({"boards_disagree", "starts_as_another_machine"})
"""Reasons that tell what follows for the set; where to look is told by those of the boards themselves."""


def refusal_of(answer: Answer) -> Refusal:
    """Why a unit may refuse to run, told by the answer about it as it is."""
    causes = tuple(_causes(answer)) or (RefusalCause.UNKNOWN,)
    looks = [look for cause in causes for look in _looks(answer, cause)]
    return Refusal(causes=causes, looks=tuple(looks))


def _causes(answer: Answer) -> Iterator[RefusalCause]:
    """Several may be true at once. What was never introduced is told too: a new board alone would not
    make the unit run. That nothing stands in the way, or too little is known, is told where nothing does."""
    if answer.fit is Fit.NO:
        yield from _of_refused_set(answer)
    if perhaps_not_usable(answer.case):
        yield RefusalCause.NOT_USABLE
    match answer.fit, answer.programming:
        case Fit.NO, _ if any(_strangers(answer.case)):
            yield RefusalCause.NOT_INTRODUCED
        case Fit.YES, Programming.NEEDED:
            yield RefusalCause.NOT_INTRODUCED
        case _ if answer.fit is Fit.NO or surely_not_usable(answer.case):
            return
        case Fit.YES, Programming.NONE:
            yield RefusalCause.NOT_CONNECTED
        case _:
            yield RefusalCause.UNKNOWN


def _of_refused_set(answer: Answer) -> Iterator[RefusalCause]:
    rules = {each.reason.rule for each in answer.reasons}
    if Rule.AGREE in rules:
        yield RefusalCause.BOARDS_DISAGREE
    if Rule.ASSIGNABLE in rules:
        yield RefusalCause.INCOMPLETE
    if Rule.RELEASES in rules:
        yield RefusalCause.RELEASES_DISAGREE


def _looks(answer: Answer, cause: RefusalCause) -> Iterator[Look]:
    match cause:
        case RefusalCause.BOARDS_DISAGREE:
            yield from _at_boards(answer, Rule.AGREE)
        case RefusalCause.INCOMPLETE:
            yield from _at_boards(answer, Rule.ASSIGNABLE)
        case RefusalCause.RELEASES_DISAGREE:
            yield from _at_releases(answer)
        case RefusalCause.NOT_USABLE:
            yield from _at_boards(answer, Rule.USABLE)
        case RefusalCause.NOT_INTRODUCED if answer.fit is Fit.NO:
            yield from (Look(place=board.place) for board in _strangers(answer.case))
        case RefusalCause.NOT_INTRODUCED | RefusalCause.UNKNOWN:
            yield from (look for look in _at_boards(answer) if not _of_usable(look))
        case RefusalCause.NOT_CONNECTED:
            yield from _connections(answer.case)


def _at_boards(answer: Answer, rule: Rule | None = None) -> Iterator[Look]:
    """The boards of a rule's findings, of all rules for None."""
    for found in answer.reasons:
        reason = found.reason
        if reason.place.role and rule in (None, reason.rule) and reason.code not in SAID_OF_THE_SET:
            yield Look(place=reason.place, found=found)


def _at_releases(answer: Answer) -> Iterator[Look]:
    """Where another board would go together with the rest, if anywhere; else where it is told."""
    for found in answer.reasons:
        if found.reason.rule is Rule.RELEASES:
            roles = found.reason.facts["role"]
            places = [place for place in answer.would_fit_if if place.role in roles] or [found.reason.place]
            yield from (Look(place=place, found=found) for place in places)


def _of_usable(look: Look) -> bool:
    """Whether it is told under a cause of its own."""
    return look.found is not None and look.found.reason.rule is Rule.USABLE


def _strangers(case: Case) -> Iterator[BoardCase]:
    """The boards that follow and are known not to be introduced."""
    for _, board in sorted(case.present.items()):
        if board.facts.introduced.values == NOT_INTRODUCED and _follows(case, board):
            yield board


def _follows(case: Case, board: BoardCase) -> bool:
    compiled = case.unit.hubs[0].compiled
    known = board.part.values or compiled.parts_of_role.get(board.place.role, ())
    parts = (compiled.catalogue.parts.get(PartNumber(number)) for number in known)
    return any(part is not None and part.binding is BindingPolicy.FOLLOWS for part in parts)


def _connections(case: Case) -> Iterator[Look]:
    """The cables of the unit: that of a board on which others hang comes before theirs, that of a board
    without which the unit does not start before that of one whose function alone would be missing."""
    roles = dict.fromkeys(role for hub in case.unit.hubs for role in _roles_with_boards(hub, case))
    for role in sorted(roles, key=lambda role: _nearness(case.unit.hubs, role, roles)):
        link = case.unit.hubs[0].compiled.catalogue.roles[role].connection
        if link is not None:
            yield Look(place=Place(role), cable=link.cable, through=link.through)


def _roles_with_boards(hub: Hub, case: Case) -> Iterator[RoleId]:
    """The roles in which, as far as is known, a board sits."""
    for place in hub.places:
        untouched = place not in case.present and place not in case.empty
        if place in case.present or (untouched and hub.factory_parts(place.role)):
            yield place.role


def _nearness(hubs: Iterable[Hub], role: RoleId, roles: Iterable[RoleId]) -> tuple[int, bool, int]:
    """The sort key of a connection: hops to the end of the way, then whether it binds, then how many hang
    on it. Equal ones stay in the catalogue's order."""
    hub = next(iter(hubs))
    ways = {each: _way(hub, each) for each in roles}
    hanging = sum(role in way for way in ways.values())
    binds = any(
        hub.parts[number].binding is not BindingPolicy.FREE
        for number in hub.compiled.parts_of_role.get(role, ())
    )
    return len(ways[role]), not binds, -hanging


def _way(hub: Hub, role: RoleId) -> tuple[RoleId, ...]:
    """The boards through which a role is connected, nearest first."""
    way: list[RoleId] = []
    link = hub.compiled.catalogue.roles[role].connection
    while link is not None and link.through not in (role, *way):
        way.append(link.through)
        link = hub.compiled.catalogue.roles[link.through].connection
    return tuple(way)
