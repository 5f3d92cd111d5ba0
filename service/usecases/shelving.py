"""The order in which boards in stock are offered for a unit, as groups that the store reads in turn.

First by binding: bound to this very unit (it holds the unit's serial), bound to its model, blank or binding
nothing at all, binding not known. Then tested before untested, then by the catalogue's price, what has no
price last, then by serial.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import NamedTuple

from service.domain.catalogue.model import Part
from service.domain.facts.records import BoardRecord
from service.domain.terms import BindingPolicy, Condition, ModelId, PartNumber, Serial
from service.store.stock import Bound, Group, Shelf, Shelved

MOST_MODELS = 8
"""Where a unit may be of more models, nothing is bound to *its* model: find the model out first."""

ORDER: Mapping[Bound, int] = {
    Bound.THIS_UNIT: 0,
    Bound.MODEL: 1,
    Bound.BLANK: 2,
    Bound.ANYTHING: 2,
    Bound.NOT_KNOWN: 3,
}
USABLE = frozenset({Condition.USABLE})
PROGRAMMED = frozenset({Bound.THIS_UNIT, Bound.MODEL, Bound.NOT_KNOWN})
"""What was programmed, or may have been, has the price of a used board."""


class Merit(NamedTuple):
    """How good the boards of a group are, best first; those of equal merit are listed by serial."""

    binding: int
    untested: bool
    unpriced: bool
    price: Decimal


class Position(NamedTuple):
    """A board's whole place in the list."""

    merit: Merit
    serial: Serial


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """The list: its shelf, and the merits of the shelf's ranks."""

    shelf: Shelf
    merits: Sequence[Merit]

    def position(self, of: Shelved) -> Position:
        """Where a board stands."""
        return Position(self.merits[of.rank], of.serial)

    def after(self, position: Position | None) -> Shelved | None:
        """The same place in the shelf's own terms. A merit that no group has any more stands where it would
        stand, so that prices may change between two pages."""
        if position is None:
            return None
        better = sum(merit < position.merit for merit in self.merits)
        known = position.merit in self.merits
        return Shelved(better, position.serial if known else Serial(""))


def groups_for(parts: Iterable[Part], models: Iterable[str]) -> list[Group]:
    """The groups of some parts for a unit of one of these models. Their ranks are given by `offer`."""
    known = [ModelId(model) for model in sorted(models)]
    bound_to = known if len(known) <= MOST_MODELS else []
    return [
        Group(
            rank=0,
            part=part.number,
            bound=bound,
            tested=tested,
            model=model,
            names=part.binding is BindingPolicy.NAMES,
        )
        for part in parts
        for bound, model in _bindings(part, bound_to)
        for tested in (True, False)
    ]


def offer(
    unit: Serial, groups: Sequence[Group], parts: Mapping[PartNumber, Part], *, foreign_serials: bool
) -> Offer:
    """The groups in order."""
    merit = {group: _merit(group, parts[group.part]) for group in groups}
    merits = sorted(set(merit.values()))
    ranked = [replace(group, rank=merits.index(merit[group])) for group in groups]
    return Offer(shelf=Shelf(unit=unit, groups=ranked, foreign_serials=foreign_serials), merits=merits)


def price_of(part: Part, bound: Bound) -> Decimal | None:
    """What the catalogue asks for a board of a part: as a used one where it was, or may be, programmed."""
    return part.used_price if bound in PROGRAMMED else part.price


def bound_of(part: Part, position: Position) -> Bound:
    """What the boards of a part at that place of the list are bound to."""
    if part.binding is BindingPolicy.FREE:
        return Bound.ANYTHING
    return next(bound for bound, place in ORDER.items() if place == position.merit.binding)


def _bindings(part: Part, models: Sequence[ModelId]) -> Iterator[tuple[Bound, ModelId | None]]:
    if part.binding is BindingPolicy.FREE:
        yield Bound.ANYTHING, None
        return
    if part.binding is BindingPolicy.NAMES:
        yield Bound.THIS_UNIT, None
    yield from ((Bound.MODEL, model) for model in models)
    yield from ((Bound.BLANK, None), (Bound.NOT_KNOWN, None))


def _merit(group: Group, part: Part) -> Merit:
    price = price_of(part, group.bound)
    return Merit(ORDER[group.bound], not group.tested, price is None, price or Decimal())


def in_stock(record: BoardRecord) -> bool:
    """Whether a board can be taken from the shelf: `store.tables.IN_STOCK` in other words."""
    here = record.in_custody and record.in_unit is None
    return here and not record.sold and not record.holds and record.conditions == USABLE
