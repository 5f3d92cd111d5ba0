"""The worlds as an indexed table: fixing a fact filters it. It serves the questions asked back.

A *fact* is named `unit.model`, `unit.serial`, `unit.made_on`, `unit.market`, `board.role`, or by place
and attribute: `main.binding`, `bumper.left.part`. Only facts that are open in some world are in it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from service.domain.facts.records import BLANK
from service.domain.fit.ranks import classes, least
from service.domain.fit.worlds import Cell, Row
from service.domain.rules.board import Board
from service.domain.terms import Holds

Fixed = Mapping[str, str]
"""Facts that are fixed, by name, each at one value."""

ATTRIBUTES = ("part", "binding", "holds", "condition", "introduced")


class _Place(NamedTuple):
    """A place with several boards possible: bit i of a set is its i-th board."""

    ranks: tuple[tuple[int, int], ...]
    """(rank bit, set of boards with that rank)."""
    values: Mapping[str, Mapping[str, int]]
    """Fact to value to the set of boards that have it."""
    every: int

    def mask(self, fixed: Fixed) -> int:
        chosen = self.every
        for fact, value in fixed.items():
            having = self.values.get(fact)
            if having is not None:
                chosen &= having.get(value, 0)
        return sum(bit for bit, having in self.ranks if having & chosen)


class _Row(NamedTuple):
    """One hub: what each fact that does not vary in it agrees with, the places that vary, and the rank
    mask of the rest."""

    single: Mapping[str, frozenset[str]]
    places: tuple[_Place, ...]
    base: int

    def mask(self, fixed: Fixed) -> int:
        for fact, value in fixed.items():
            agreeing = self.single.get(fact)
            if agreeing is not None and value not in agreeing:
                return 0
        total = self.base
        for place in self.places:
            total = least(total, place.mask(fixed))
        return total


@dataclass(frozen=True)
class Table:
    """All worlds of one case, ready to be filtered."""

    rows: tuple[_Row, ...]
    facts: Mapping[str, tuple[str, ...]]
    """Each open fact with the values it may have, both in a fixed order."""

    def outcomes(self, fixed: Fixed) -> int:
        """The set of outcomes of the worlds in which these facts hold, as a mask of `ranks.classes`; 0 where
        there is no such world."""
        mask = 0
        for row in self.rows:
            mask |= row.mask(fixed)
        return classes(mask)

    @cached_property
    def everything(self) -> int:
        """The set of outcomes of all worlds."""
        return self.outcomes({})


def index(rows: Iterable[Row], known: Collection[str] = ()) -> Table:
    """Index the worlds. `known` are facts of the unit that are settled, whatever cells they leave."""
    made = [_row(row) for row in rows if row.mask]
    facts: defaultdict[str, set[str]] = defaultdict(set)
    for row in made:
        for fact, values in row.single.items():
            facts[fact].update(values)
        for place in row.places:
            for fact, having in place.values.items():
                facts[fact].update(having)
    open_facts = {fact for row in made for place in row.places for fact in _open(place)}
    open_facts |= {fact for fact, values in facts.items() if _of_unit(fact) and len(values) > 1}
    open_facts -= set(known)
    return Table(
        rows=tuple(made),
        facts={fact: tuple(sorted(facts[fact])) for fact in sorted(open_facts)},
    )


def values_of(board: Board) -> dict[str, str]:
    """The facts of one board by attribute, as text."""
    return {
        "part": board.part,
        "binding": BLANK if board.binding is None else board.binding,
        "holds": board.holds,
        "condition": board.condition,
        "introduced": "yes" if board.introduced else "no",
    }


def _row(row: Row) -> _Row:
    single = _unit_facts(row)
    places = []
    base = row.base
    for place, (cells, mask) in row.places.items():
        if len(cells) == 1:
            base = least(base, mask)
            only = values_of(cells[0].board)
            single |= {f"{place}.{name}": frozenset({value}) for name, value in only.items()}
        else:
            places.append(_place(str(place), cells))
    return _Row(single, tuple(places), base)


def _unit_facts(row: Row) -> dict[str, frozenset[str]]:
    """What the facts of the unit itself agree with in one hub. A date, and a plate that does not name
    the model, is told by its cell between all breaks of the catalogue: one day is one day for all models."""
    hub = row.hub
    serials = hub.owner.serial_spans[hub.serial_cell]
    prefix = f"{hub.model.id}/" if hub.compiled.plates_name_models else ""
    facts = {
        "unit.model": frozenset({str(hub.model.id)}),
        "unit.serial": frozenset(f"{prefix}{cell}" for cell in serials),
        "unit.made_on": frozenset(map(str, hub.owner.date_spans[hub.date_cell])),
        "unit.market": frozenset({str(hub.market)}),
    }
    if row.open_role is not None:
        facts["board.role"] = frozenset({str(row.open_role)})
    return facts


def _place(name: str, cells: Sequence[Cell]) -> _Place:
    ranks: defaultdict[int, int] = defaultdict(int)
    values: defaultdict[str, defaultdict[str, int]] = defaultdict(lambda: defaultdict(int))
    for position, cell in enumerate(cells):
        bit = 1 << position
        ranks[1 << cell.verdict.rank] |= bit
        for attribute, value in values_of(cell.board).items():
            values[f"{name}.{attribute}"][value] |= bit
    return _Place(tuple(ranks.items()), values, (1 << len(cells)) - 1)


def _open(place: _Place) -> Iterable[str]:
    """The facts of a place that are open, a held serial only where a bound board may hold either kind."""
    for fact, values in place.values.items():
        told = values.keys() - {Holds.NOTHING} if fact.endswith(".holds") else values.keys()
        if len(told) > 1:
            yield fact


def _of_unit(fact: str) -> bool:
    return fact.startswith(("unit.", "board."))
