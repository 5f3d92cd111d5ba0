"""What one place may hold in the worlds of one hub: every combination of values its facts leave open.

Domains: an unknown binding is blank, or any model for which the part is listed or reached (breaks
ignored); an unknown part is any part of the role; an unknown held serial is idle or of a unit in
service. A place of which nothing is known holds its factory board where assumptions are on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import IntEnum

from service.domain.catalogue.hub import Hub
from service.domain.facts.case import BoardFacts, Pairing
from service.domain.facts.known import Known
from service.domain.facts.records import BLANK
from service.domain.rules.board import Board
from service.domain.terms import BindingPolicy, Condition, Holds, ModelId, PartNumber

YES = "yes"
NO = "no"
USABLE = (Condition.USABLE,)
BLANK_ONLY = (BLANK,)


class Beside(IntEnum):
    """What stands beside a follower: the naming board of the resulting set."""

    NOTHING = 0
    AS_MADE = 1
    """Nothing says that the naming board is not the factory's."""
    CHANGED = 2
    REPLACED = 3
    """Recorded as not the one that the factory's followers were introduced to."""


def boards(hub: Hub, case: BoardFacts, beside: Beside) -> Iterator[Board]:
    """Every board that may be in this place in this hub's worlds; none where the facts leave no world."""
    conditions = conditions_of(case)
    namer = beside is not Beside.NOTHING
    for number in parts_of(hub, case):
        policy = hub.parts[number].binding
        introductions = introduced_of(hub, case, beside) if policy is BindingPolicy.FOLLOWS else (False,)
        for binding in bindings_of(hub, case, number):
            model = None if binding == BLANK else ModelId(binding)
            for holds in holds_of(case, policy, model):
                for condition in conditions:
                    for introduced in introductions:
                        yield Board(
                            case.place,
                            number,
                            model,
                            holds,
                            condition,
                            introduced,
                            case.proposed,
                            namer,
                            case.sits,
                        )


def as_made(hub: Hub, case: BoardFacts) -> bool:
    """Whether nothing says that the board in this place is not the one the factory put there."""
    factory = hub.factory_parts(case.place.role)
    return case.assumed and (not factory or any(part in factory for part in parts_of(hub, case)))


def parts_of(hub: Hub, case: BoardFacts) -> Iterable[PartNumber]:
    """The parts it may be, given what is known of its binding; where the factory's is assumed and agrees
    with all that is known, the factory's."""
    role = case.place.role
    known = case.part.values
    if known is not None and len(known) == 1:
        return tuple(PartNumber(number) for number in known if hub.parts[PartNumber(number)].role == role)
    of_role = hub.compiled.parts_of_role.get(role, ())
    possible = tuple(number for number in of_role if known is None or number in known)
    # What is known of the binding tells something of the part, unless no part could be bound so.
    possible = tuple(n for n in possible if _can_be_bound_so(hub, case, n)) or tuple(
        n for n in possible if hub.parts[n].binding is not BindingPolicy.FREE
    )
    # So does a release: a board carries what runs on it, unless that would leave none.
    possible = tuple(n for n in possible if _can_carry(hub, case, n)) or possible
    if not case.assumed or case.part.contradiction:
        return possible
    factory = hub.factory_parts(role)
    return tuple(number for number in possible if number in factory) or possible


def _can_be_bound_so(hub: Hub, case: BoardFacts, number: PartNumber) -> bool:
    """Whether a part goes together with what is known of the binding: it binds, and for such a model."""
    known = case.binding.values
    if known is None:
        return True
    if hub.parts[number].binding is BindingPolicy.FREE:
        return False
    return BLANK in known or not known.isdisjoint(hub.compiled.binding_domain[number])


def _can_carry(hub: Hub, case: BoardFacts, number: PartNumber) -> bool:
    """Whether a part goes together with what is known of the release: it runs there, or is not listed."""
    known = case.release.values
    if known is None:
        return True
    software, role = hub.compiled.catalogue.software, case.place.role
    listed = {str(each.version): each for each in software.releases.get(role, ())}
    runs = [each.parts is None or number in each.parts for name, each in listed.items() if name in known]
    return any(runs) or not known <= listed.keys()


def bindings_of(hub: Hub, case: BoardFacts, number: PartNumber) -> Sequence[str]:
    """Blank or model ids: as known, else blank or any model of the part. A part that is known to be free
    has no binding, whatever is said of it."""
    if hub.parts[number].binding is BindingPolicy.FREE:
        return BLANK_ONLY
    known: Known = case.binding
    domain = (BLANK, *sorted(hub.compiled.binding_domain[number]))
    if known.values is None:
        possible: Sequence[str] = [value for value in domain if value not in known.without]
    elif case.part.certain or not _can_be_bound_so(hub, case, number):
        possible = sorted(known.values)
    else:
        possible = [value for value in domain if value in known.values]
    if case.assumed and not known.contradiction and hub.model.id in possible:
        return (hub.model.id,)
    return possible


def holds_of(case: BoardFacts, policy: BindingPolicy, model: ModelId | None) -> Iterable[Holds]:
    """Whose serial a naming board holds; a blank one holds none. One that stays is taken to hold this unit's
    until a word says otherwise."""
    if policy is not BindingPolicy.NAMES:
        return (Holds.NOTHING,)
    known = case.holds.values
    if model is None:
        return (Holds.NOTHING,) if known is None or Holds.NOTHING in known else ()
    if (not case.proposed or case.sits) and (known is None or Holds.THIS_UNIT in known):
        return (Holds.THIS_UNIT,)
    if known is None:
        return (Holds.IDLE, Holds.IN_SERVICE)
    return tuple(Holds(value) for value in sorted(known) if value != Holds.NOTHING)


def conditions_of(case: BoardFacts) -> Iterable[Condition]:
    """Its state. Of a board that stays none is asked, and one that nobody speaks of is usable."""
    if not case.proposed or case.condition.values is None:
        return USABLE
    return tuple(Condition(value) for value in sorted(case.condition.values))


def introduced_of(hub: Hub, case: BoardFacts, beside: Beside) -> Iterable[bool]:
    """Whether a follower is introduced to the naming board beside it in the resulting set.

    A pair that stays is, unless something says that one of the two was changed. Where there is no naming
    board there is no pair, and nothing to find out.
    """
    known = case.introduced.values
    if known is not None:
        return tuple(value == YES for value in sorted(known))
    if case.pairing is not Pairing.STAYS:
        return (comes_introduced(hub, case.pairing),)
    if beside in {Beside.REPLACED, Beside.NOTHING}:
        return (False,)
    return (True,) if beside is Beside.AS_MADE and as_made(hub, case) else (False, True)


def comes_introduced(hub: Hub, pairing: Pairing) -> bool:
    """Whether a follower is introduced to a naming board that it comes beside in such a way."""
    if pairing is Pairing.MOVED_TOGETHER:
        return not hub.family.matched_pair_needs_introducing
    return pairing is Pairing.PUT_BACK
