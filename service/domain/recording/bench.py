"""What an event is judged on: the catalogue, the states that it meets, and what it says."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.records import BoardRecord, UnitRecord
from service.domain.ledger.fold import States
from service.domain.ledger.seating import place_in
from service.domain.place import Place
from service.domain.recording.refusal import Refusal
from service.domain.terms import BindingPolicy, Serial


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """One event on the bench."""

    compiled: CompiledCatalogue
    states: States
    """The states before it: of its subjects, of the boards in its units, of the units that those hold."""
    kind: str
    data: Mapping[str, Any]

    def board(self, serial: str) -> BoardRecord | None:
        """What is known of a board; None where no event spoke of it."""
        state = self.states.boards.get(Serial(serial))
        return state.record if state else None

    def unit(self, serial: str | None) -> UnitRecord | None:
        """What is known of a unit; None where no event spoke of it."""
        state = self.states.units.get(Serial(serial)) if serial else None
        return state.record if state else None

    def policy_at(self, spot: Spot) -> BindingPolicy:
        """What the boards of a place do with the identity of the unit, as events told."""
        unit = self.states.units.get(spot.unit)
        if unit is not None and unit.seating.naming == spot.place:
            return BindingPolicy.NAMES
        follows = unit is not None and spot.place in unit.seating.followers
        return BindingPolicy.FOLLOWS if follows else BindingPolicy.FREE


Law = Callable[[Bench], Iterator[Refusal]]
"""A law of recording: what it holds against an event."""


class Spot(NamedTuple):
    """A place in a unit."""

    unit: Serial
    place: Place

    def block(self) -> dict[str, str]:
        """The spot as events name it."""
        told = {"unit": self.unit, "role": self.place.role}
        return {**told, "place": self.place.name} if self.place.name else told

    def facts(self) -> dict[str, str]:
        """The spot in the facts of a refusal."""
        return {"unit": self.unit, "place": str(self.place)}


def spot_in(data: Mapping[str, Any], unit: str | None = None) -> Spot:
    """The spot that a block names, in the unit that it names itself if none is given."""
    return Spot(Serial(unit or data["unit"]), place_in(data))


def sits(states: States, board: str) -> Spot | None:
    """Where a board sits, if both sides say so: a unit may have been told of another board there since."""
    known = states.boards.get(Serial(board))
    if known is None or known.record.in_unit is None or known.record.role is None:
        return None
    spot = Spot(known.record.in_unit, Place(known.record.role, known.record.place))
    unit = states.units.get(spot.unit)
    return spot if unit is not None and unit.seating.occupants.get(spot.place) == board else None


def occupant(states: States, spot: Spot) -> Serial | None:
    """The board that sits in a spot; None where it is empty, or nobody knows."""
    unit = states.units.get(spot.unit)
    board = unit.seating.occupants.get(spot.place) if unit else None
    return board if board is not None and sits(states, board) == spot else None


def is_empty(states: States, spot: Spot) -> bool:
    """Whether the last word about a spot is that its board was taken out."""
    unit = states.units.get(spot.unit)
    return unit is not None and spot.place in unit.record.emptied
