"""A task in whole numbers: sets as bit masks, money in its smallest common unit, so that sums are quick."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from math import lcm
from operator import or_
from typing import NamedTuple

from service.domain.upgrade.task import Burden, Option, Task

Weight = tuple[int, int, int]
"""A burden with its money in the common unit."""
Masks = Mapping[frozenset[str], int]
"""Sets of names as bits."""


class Move(NamedTuple):
    """An option of a block."""

    weight: Weight
    calls: int
    gives: int
    takes: tuple[int, ...]
    option: Option


@dataclass(frozen=True, slots=True)
class Encoded:
    """A task ready to be searched."""

    blocks: tuple[tuple[Move, ...], ...]
    due: tuple[Weight, ...]
    """The weight of each set of shared burdens, by its mask."""
    wants: tuple[tuple[int, ...], ...]
    """The ways of each want, as masks of needs."""
    left: tuple[int, ...]
    """The needs that the blocks from each position on can still meet."""
    stock: tuple[int, ...]

    def may_meet(self, needs: int) -> bool:
        """Whether every want has a way within these needs."""
        return all(any(way & needs == way for way in ways) for ways in self.wants)


def encode(task: Task) -> Encoded:
    """The task in whole numbers. What no option can take too much of is not counted."""
    unit = lcm(*(each.money.denominator for each in _burdens(task)))
    calls = _masks(sorted(task.shared), (option.calls for block in task.blocks for option in block))
    ways = [way for ways in task.wants for way in ways]
    names = sorted(frozenset[str]().union(*ways))
    needs = _masks(names, (*ways, *(option.gives for block in task.blocks for option in block)))
    scarce = _scarce(task)
    blocks = tuple(
        tuple(_move(option, unit, calls, needs, scarce) for option in sorted(block, key=lambda o: o.name))
        for block in task.blocks
    )
    return Encoded(
        blocks=blocks,
        due=_due(task, unit, sorted(task.shared)),
        wants=tuple(tuple(needs[way] for way in ways) for ways in task.wants),
        left=_left(blocks),
        stock=tuple(task.stock[name] for name in scarce),
    )


def _burdens(task: Task) -> Iterator[Burden]:
    yield from task.shared.values()
    yield from (option.burden for block in task.blocks for option in block)


def _scarce(task: Task) -> list[str]:
    """Things of which the blocks together could take more than there are."""
    most: Counter[str] = Counter()
    for block in task.blocks:
        # The union of multisets keeps the most that any one option takes.
        most += reduce(or_, (Counter(option.takes) for option in block if option.takes), Counter[str]())
    return sorted(name for name, there in task.stock.items() if most[name] > there)


def _move(option: Option, unit: int, calls: Masks, needs: Masks, scarce: Sequence[str]) -> Move:
    return Move(
        weight=_weight(option.burden, unit),
        calls=calls[option.calls],
        gives=needs[option.gives],
        takes=tuple([option.takes.get(name, 0) for name in scarce]),
        option=option,
    )


def _weight(burden: Burden, unit: int) -> Weight:
    money = burden.money
    return money.numerator * (unit // money.denominator), burden.lasting, burden.minutes


def _masks(names: Sequence[str], sets: Iterable[frozenset[str]]) -> Masks:
    """The bits of each set that occurs; a name that nothing depends on has none."""
    bits = {name: 1 << at for at, name in enumerate(names)}
    return {each: sum(bits.get(name, 0) for name in each) for each in set(sets)}


def _due(task: Task, unit: int, names: list[str]) -> tuple[Weight, ...]:
    sums: list[Weight] = [(0, 0, 0)]
    for name in names:
        each = _weight(task.shared[name], unit)
        sums += [added(known, each) for known in sums]
    return tuple(sums)


def added(one: Weight, other: Weight) -> Weight:
    """Both weights together."""
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def _left(blocks: tuple[tuple[Move, ...], ...]) -> tuple[int, ...]:
    masks = [0]
    for block in reversed(blocks):
        mask = masks[-1]
        for move in block:
            mask |= move.gives
        masks.append(mask)
    return tuple(reversed(masks))
