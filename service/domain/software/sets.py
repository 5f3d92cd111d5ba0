"""Which releases go together on the boards that are there, and the newest set that can be reached.

The newest of several sets: the one whose first board in the catalogue's order of roles carries the newest
release; among those the second board, and so on. States are ordered so, since a lower position is newer.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from service.domain.software.bound import Steps
from service.domain.software.problem import Problem, State, bits
from service.domain.software.standing import Standing


def sets_that_go_together(problem: Problem) -> Iterator[State]:
    """Every set of releases that goes together, the newest first, whether it can be reached or not.

    Raises BoundExceeded.
    """
    yield from _completed(problem, (), tuple(lane.goal for lane in problem.lanes), Steps())


def _completed(problem: Problem, chosen: State, left: State, steps: Steps) -> Iterator[State]:
    """The sets that begin with the chosen nodes. `left`: the masks of what these leave for each board."""
    if len(chosen) == len(left):
        yield chosen
        return
    lane = len(chosen)
    for node in bits(left[lane]):
        steps.take()
        rows = [problem.pairs.get((lane, other)) for other in range(len(left))]
        narrowed = tuple(mask & row[node] if row else mask for mask, row in zip(left, rows, strict=True))
        if all(narrowed[lane + 1 :]):
            yield from _completed(problem, (*chosen, node), narrowed, steps)


def newest_reached(problem: Problem, start: State) -> State | None:
    """The newest set that goes together and that loads lead to; None where they lead to none.

    Everything that can be reached is looked at: the leaders' walks point by point, and for each other board
    all that a walk lets it become (see `search`). Raises BoundExceeded.
    """
    standing = Standing(problem)
    sets = (_newest(standing, leading, masks) for leading, masks in _points(standing, start))
    return min((state for state in sets if state is not None), default=None)


def _points(standing: Standing, start: State) -> Iterator[tuple[State, State]]:
    """The leaders' nodes, and for each other board the mask of what it can be there. A point that leaves no
    more open than an earlier one of the same leaders is passed over."""
    queue = deque(
        [_point(standing, standing.leading(start), tuple(1 << start[at] for at in standing.others))]
    )
    known: dict[State, list[State]] = {}
    steps = Steps()
    while queue:
        steps.take()
        leading, masks = queue.popleft()
        earlier = known.setdefault(leading, [])
        if not all(masks) or any(_within(masks, wider) for wider in earlier):
            continue
        earlier.append(masks)
        yield leading, masks
        queue.extend(_point(standing, after, masks) for after in standing.ground(leading).moves)


def _point(standing: Standing, leading: State, masks: State) -> tuple[State, State]:
    stands = standing.ground(leading).others
    return leading, tuple(stand.become(mask) for stand, mask in zip(stands, masks, strict=True))


def _newest(standing: Standing, leading: State, masks: State) -> State | None:
    """The newest set at a point; None where it holds none."""
    ground = standing.ground(leading)
    ends = [mask & stand.end for stand, mask in zip(ground.others, masks, strict=True)]
    if not ground.is_end or not all(ends):
        return None
    nodes = dict(zip(standing.leaders, leading, strict=True))
    nodes |= {lane: next(bits(end)) for lane, end in zip(standing.others, ends, strict=True)}
    return tuple(nodes[lane] for lane in range(len(nodes)))


def _within(masks: State, wider: State) -> bool:
    return all(mask & ~more == 0 for mask, more in zip(masks, wider, strict=True))
