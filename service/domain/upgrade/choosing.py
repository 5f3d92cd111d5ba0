"""The best choice of all, by going through the blocks once and remembering what makes a difference.

After each block, part-choices differ for what is still to come in three things only: which shared burdens
they called, which needs they met, what stock they took. Of those alike in all three the best is kept, and one
that is no better in anything than another is dropped, so the work grows with these differences and not with
the product of all options. Choices are compared by money, then steps that can't be undone, then minutes,
then the names of their options in the order of the blocks: the same task has the same answer, always.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from service.domain.upgrade.encoding import Encoded, Move, Weight, added, encode
from service.domain.upgrade.task import BoundExceeded, Burden, Choice, Option, Task

MAX_PARTIAL = 20_000
"""So many different part-choices are kept at most; past it `BoundExceeded` is raised."""

Names = tuple[str, ...]
State = tuple[int, int, tuple[int, ...]]
"""Burdens called, needs met, stock taken."""


class _Partial(NamedTuple):
    """The best way to a state."""

    weight: Weight
    names: Names
    chosen: tuple[Option, ...]


def cheapest(task: Task, bound: int = MAX_PARTIAL) -> Choice | None:
    """The best choice, or None where there is none. Raises BoundExceeded."""
    encoded = encode(task)
    partial: dict[State, _Partial] = {(0, 0, (0,) * len(encoded.stock)): _Partial((0, 0, 0), (), ())}
    if not encoded.may_meet(encoded.left[0]):
        return None
    for at, block in enumerate(encoded.blocks):
        partial = _undominated(_extended(encoded, partial, block, encoded.left[at + 1]))
        if len(partial) > bound:
            raise BoundExceeded
    ends = [
        (added(found.weight, encoded.due[calls]), found.names, found.chosen)
        for (calls, _, _), found in partial.items()
    ]
    return _choice(task, min(ends, key=lambda end: end[:2])[2]) if ends else None


def burden_of(task: Task, options: Iterable[Option]) -> Burden:
    """What these options come to: their own burdens, and each that they call once."""
    chosen = tuple(options)
    total = Burden()
    for each in chosen:
        total = total.plus(each.burden)
    for called in sorted({name for each in chosen for name in each.calls}):
        total = total.plus(task.shared[called])
    return total


def _choice(task: Task, chosen: tuple[Option, ...]) -> Choice:
    return Choice(options=chosen, burden=burden_of(task, chosen))


def _extended(
    encoded: Encoded, partial: dict[State, _Partial], block: tuple[Move, ...], left: int
) -> dict[State, _Partial]:
    """Every part-choice with every option of one more block, the best for each state; hopeless ones go."""
    found: dict[State, _Partial] = {}
    hopeful: dict[int, bool] = {}
    for (calls, needs, taken), before in partial.items():
        for move in block:
            sums = tuple(map(int.__add__, taken, move.takes)) if taken else taken
            met = needs | move.gives
            if met not in hopeful:
                hopeful[met] = encoded.may_meet(met | left)
            if not hopeful[met] or any(map(int.__gt__, sums, encoded.stock)):
                continue
            state = calls | move.calls, met, sums
            weight, known = added(before.weight, move.weight), found.get(state)
            if known is None or weight <= known.weight:
                after = _Partial(weight, (*before.names, move.option.name), (*before.chosen, move.option))
                if known is None or after[:2] < known[:2]:
                    found[state] = after
    return found


def _undominated(partial: dict[State, _Partial]) -> dict[State, _Partial]:
    """Without those that called no less, met no more, took no less and weigh no less than another."""
    if len(partial) < 2:
        return partial
    kept: list[tuple[State, _Partial]] = []
    for state, found in sorted(partial.items(), key=lambda item: item[1][:2]):
        if not any(_covers(better, state) for better, _ in kept):
            kept.append((state, found))
    return dict(kept)


def _covers(one: State, other: State) -> bool:
    """Whether whatever completes the other completes this one for no more."""
    return one[0] & ~other[0] == 0 and other[1] & ~one[1] == 0 and all(map(int.__le__, one[2], other[2]))
