"""The worlds as an indexed table: fixing a fact filters it. It serves the questions asked back.

A *fact* is named `unit.model`, `unit.serial`, `unit.made_on`, `unit.market`, `board.role`, or by place
and attribute: `main.binding`, `bumper.left.part`. Only facts that are open in some world are in it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, reduce
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.facts.records import BLANK
from service.domain.fit.joint import Joint, Way
from service.domain.fit.ranks import classes, least
from service.domain.fit.worlds import Cell, Row
from service.domain.place import Place
from service.domain.rules.board import Board
from service.domain.terms import BindingPolicy, Holds

Fixed = Mapping[str, str]
"""Facts that are fixed, by name, each at one value."""

UNBOUND = "free"
"""Stands for the binding of a free part."""
ATTRIBUTES = ("part", "binding", "holds", "condition", "introduced")
EVERY_ATTRIBUTE = (*ATTRIBUTES, "release")
"""With what is a fact of a board, and no matter of its own verdict."""


class _Place(NamedTuple):
    """A place with several boards possible: bit i of a set is its i-th board."""

    ranks: tuple[tuple[int, int], ...]
    """(rank bit, set of boards with that rank)."""
    values: Mapping[str, Mapping[str, int]]
    """Fact to value to the set of boards that have it."""
    every: int
    mask: int
    """The ranks while none of its facts is fixed."""

    def fixed_mask(self, fixed: Fixed) -> int:
        """The ranks of the boards that agree with what is fixed."""
        chosen = self.every
        for fact in self.values.keys() & fixed.keys():
            chosen &= self.values[fact].get(fixed[fact], 0)
        if chosen == self.every:
            return self.mask
        return sum(bit for bit, having in self.ranks if having & chosen)


class _Joint(NamedTuple):
    """Boards whose software has to go together: what each may be, and the ways in which they may be together,
    told by part and release. A part has its releases, so these are not independent of each other."""

    boards: tuple[_Place, ...]
    ways: _Place
    by_parts: tuple[tuple[_Place, ...], ...]
    """For each combination of parts its boards and its ways: these are independent of each other."""

    def fixed_mask(self, fixed: Fixed) -> int:
        """The ranks of the boards and ways that agree with what is fixed."""
        total = 0
        for independent in self.by_parts:
            total |= reduce(least, (each.fixed_mask(fixed) for each in independent))
        return total


class _Row(NamedTuple):
    """One hub: what each fact that does not vary in it agrees with, the places that vary, and the rank
    mask of the rest."""

    single: Mapping[str, frozenset[str]]
    places: tuple[_Place, ...]
    joints: tuple[_Joint, ...]
    base: int

    @property
    def varying(self) -> Iterator[_Place]:
        """All in it that has facts which may vary."""
        yield from self.places
        for joint in self.joints:
            yield from (*joint.boards, joint.ways)

    def mask(self, fixed: Fixed) -> int:
        """The ranks of the worlds of this hub that agree with what is fixed in its places."""
        total = self.base
        for place in self.places:
            total = least(total, place.fixed_mask(fixed))
        for joint in self.joints:
            total = least(total, joint.fixed_mask(fixed))
        return total


@dataclass(frozen=True)
class Table:
    """All worlds of one case, ready to be filtered."""

    rows: tuple[_Row, ...]
    facts: Mapping[str, tuple[str, ...]]
    """Each open fact with the values it may have, both in a fixed order."""
    agreeing: Mapping[str, Mapping[str, int]]
    """Facts that do not vary within a hub: fact to value to the set of rows that agree with it."""
    _seen: dict[frozenset[tuple[str, str]], int] = field(default_factory=dict)
    """The order in which facts are fixed is no matter, so most filters are asked for more than once."""

    def outcomes(self, fixed: Fixed) -> int:
        """The set of outcomes of the worlds in which these facts hold, as a mask of `ranks.classes`; 0 where
        there is no such world."""
        key = frozenset(fixed.items())
        found = self._seen.get(key)
        if found is None:
            found = self._seen[key] = self._outcomes(fixed)
        return found

    def _outcomes(self, fixed: Fixed) -> int:
        chosen = (1 << len(self.rows)) - 1
        for fact in self.agreeing.keys() & fixed.keys():
            chosen &= self.agreeing[fact].get(fixed[fact], 0)
        mask = 0
        while chosen:
            lowest = chosen & -chosen
            mask |= self.rows[lowest.bit_length() - 1].mask(fixed)
            chosen ^= lowest
        return classes(mask)

    @cached_property
    def distinct(self) -> Mapping[str, tuple[str, ...]]:
        """Each open fact with one value of each kind: values that choose the same worlds are one kind."""
        return {fact: tuple(self._kinds(fact).values()) for fact in self.facts}

    def _kinds(self, fact: str) -> dict[object, str]:
        kinds: dict[object, str] = {}
        for value in self.facts[fact]:
            rows = self.agreeing.get(fact, {}).get(value, 0)
            boards = tuple(
                p.values[fact].get(value, 0) for r in self.rows for p in r.varying if fact in p.values
            )
            kinds.setdefault((rows, boards), value)
        return kinds


def index(rows: Iterable[Row], known: Collection[str] = ()) -> Table:
    """Index the worlds. `known` are facts of the unit that are settled, whatever cells they leave."""
    made = tuple(_row(row) for row in rows if row.mask)
    values: defaultdict[str, set[str]] = defaultdict(set)
    for row in made:
        for fact, agreed in row.single.items():
            values[fact] |= agreed
        for place in row.varying:
            for fact, having in place.values.items():
                values[fact] |= having.keys()
    open_facts = {fact for row in made for place in row.varying for fact in _open(place)}
    open_facts |= {fact for fact in values if _of_unit(fact) and len(values[fact]) > 1}
    open_facts -= set(known)
    return Table(
        rows=made,
        facts={fact: tuple(sorted(values[fact] - {UNBOUND})) for fact in sorted(open_facts)},
        agreeing={fact: _agreeing(made, fact, values[fact]) for fact in sorted(open_facts)},
    )


def _agreeing(rows: Sequence[_Row], fact: str, values: Iterable[str]) -> Mapping[str, int]:
    """For each value the rows that agree with it; a row in which the fact varies, or is none, agrees."""
    silent = sum(1 << i for i, row in enumerate(rows) if fact not in row.single)
    agreeing = dict.fromkeys(values, silent)
    for position, row in enumerate(rows):
        for value in row.single.get(fact, ()):
            agreeing[value] |= 1 << position
    return agreeing


def values_of(hub: Hub, board: Board) -> dict[str, str]:
    """The facts of one board by attribute, as text. A free part has no binding that could be asked for."""
    free = hub.parts[board.part].binding is BindingPolicy.FREE
    return {
        "part": board.part,
        "binding": UNBOUND if free else board.binding or BLANK,
        "holds": board.holds,
        "condition": board.condition,
        "introduced": "yes" if board.introduced else "no",
    }


def _row(row: Row) -> _Row:
    single = _unit_facts(row)
    places = []
    base = row.base
    joined = {place for joint in row.joints for place in joint.places}
    for place, there in row.places.items():
        cells = there.cells
        if len(cells) == 1:
            base = base if place in joined else least(base, there.mask)
            only = values_of(row.hub, cells[0].board)
            single |= {f"{place}.{name}": frozenset({value}) for name, value in only.items()}
        elif place not in joined:
            places.append(_place(row.hub, str(place), cells))
    return _Row(single, tuple(places), tuple(_joint(row, joint) for joint in row.joints), base)


def _joint(row: Row, joint: Joint) -> _Joint:
    by_parts = []
    for kinds in joint.by_parts():
        there = zip(joint.places, kinds, strict=True)
        cells = (
            (place, [c for c in row.places[place].cells if c.board.part in kind]) for place, kind in there
        )
        boards = [_place(row.hub, str(place), found) for place, found in cells]
        by_parts.append((*boards, _ways(joint.places, [way for way in joint.ways if way.parts == kinds])))
    whole = tuple(_place(row.hub, str(place), row.places[place].cells) for place in joint.places)
    return _Joint(whole, _ways(joint.places, joint.ways), tuple(by_parts))


def _ways(places: Sequence[Place], ways: Sequence[Way]) -> _Place:
    """Ways as if they were boards of one place, told by part and release."""
    ranks: defaultdict[int, int] = defaultdict(int)
    values: defaultdict[str, defaultdict[str, int]] = defaultdict(lambda: defaultdict(int))
    for position, way in enumerate(ways):
        bit = 1 << position
        ranks[1 << way.rank] |= bit
        for attribute, told in (("part", way.parts), ("release", way.releases)):
            # There are no releases where nothing hangs on them.
            for place, names in zip(places, told, strict=False):
                for name in names:
                    values[f"{place}.{attribute}"][name] |= bit
    return _Place(tuple(ranks.items()), values, (1 << len(ways)) - 1, sum(ranks))


def _unit_facts(row: Row) -> dict[str, frozenset[str]]:
    """What the facts of the unit itself agree with in one hub. A date, and a plate that does not name
    the model, is told by its cell between all breaks of the catalogue: one day is one day for all models."""
    hub = row.hub
    days = (hub.compiled.date_cell_names[cell] for cell in hub.owner.date_spans[hub.date_cell])
    facts = {
        "unit.model": frozenset({str(hub.model.id)}),
        "unit.serial": _serials(hub),
        "unit.made_on": frozenset(days),
        "unit.market": frozenset({str(hub.market)}),
    }
    if row.open_role is not None:
        facts["board.role"] = frozenset({str(row.open_role)})
    return facts


def _serials(hub: Hub) -> frozenset[str]:
    """What is known of the plate in a hub. One that names the model tells model and cell at once."""
    if hub.compiled.plates_name_models:
        return frozenset({f"{hub.model.id} {hub.owner.serial_cell_names[hub.serial_cell]}".strip()})
    return frozenset(hub.compiled.serial_cell_names[c] for c in hub.owner.serial_spans[hub.serial_cell])


def _place(hub: Hub, name: str, cells: Sequence[Cell]) -> _Place:
    ranks: defaultdict[int, int] = defaultdict(int)
    values: defaultdict[str, defaultdict[str, int]] = defaultdict(lambda: defaultdict(int))
    for position, cell in enumerate(cells):
        bit = 1 << position
        ranks[1 << cell.verdict.rank] |= bit
        for attribute, value in values_of(hub, cell.board).items():
            values[f"{name}.{attribute}"][value] |= bit
    return _Place(tuple(ranks.items()), values, (1 << len(cells)) - 1, sum(ranks))


def _open(place: _Place) -> Iterable[str]:
    """The facts of a place that are open, a held serial only where a bound board may hold either kind."""
    for fact, values in place.values.items():
        untold = {Holds.NOTHING} if fact.endswith(".holds") else {UNBOUND}
        if len(values.keys() - untold) > 1:
            yield fact


def _of_unit(fact: str) -> bool:
    return fact.startswith(("unit.", "board."))
