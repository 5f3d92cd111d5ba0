"""A task in whole numbers: sets as bit masks, money in its smallest common unit, so that sums are quick."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import lcm
from typing import NamedTuple

from service.domain.upgrade.task import Burden, Option, Task

Weight = tuple[int, int, int]
"""A burden with its money in the common unit."""


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
    calls = {name: 1 << at for at, name in enumerate(sorted(task.shared))}
    needs = {name: 1 << at for at, name in enumerate(_needs(task))}
    scarce = _scarce(task)
    blocks = tuple(
        tuple(_move(option, unit, calls, needs, scarce) for option in sorted(block, key=lambda o: o.name))
        for block in task.blocks
    )
    return Encoded(
        blocks=blocks,
        due=_due(task, unit, sorted(task.shared)),
        wants=tuple(tuple(_mask(needs, way) for way in ways) for ways in task.wants),
        left=_left(blocks),
        stock=tuple(task.stock[name] for name in scarce),
    )


def _burdens(task: Task) -> Iterator[Burden]:
    yield from task.shared.values()
    yield from (option.burden for block in task.blocks for option in block)


def _needs(task: Task) -> list[str]:
    return sorted({need for ways in task.wants for way in ways for need in way})


def _scarce(task: Task) -> list[str]:
    """Things of which the blocks together could take more than there are."""
    most = {
        name: sum(max((option.takes.get(name, 0) for option in block), default=0) for block in task.blocks)
        for name in task.stock
    }
    return sorted(name for name, there in task.stock.items() if most[name] > there)


def _move(
    option: Option, unit: int, calls: Mapping[str, int], needs: Mapping[str, int], scarce: list[str]
) -> Move:
    return Move(
        weight=_weight(option.burden, unit),
        calls=_mask(calls, option.calls),
        gives=_mask(needs, option.gives),
        takes=tuple(option.takes.get(name, 0) for name in scarce),
        option=option,
    )


def _weight(burden: Burden, unit: int) -> Weight:
    return int(burden.money * unit), burden.lasting, burden.minutes


def _mask(bits: Mapping[str, int], names: Iterable[str]) -> int:
    """The bits of these names; a name that nothing depends on has none."""
    return sum(bits.get(name, 0) for name in set(names))


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
