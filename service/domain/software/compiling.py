"""From a task to masks. A fact that is lifted is left out: so is found what stands in the way."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from service.domain.software.facts import Fact, FactKind
from service.domain.software.problem import Lane, Pairs, Problem
from service.domain.software.releases import Release
from service.domain.software.task import Board, Carried, Task, ordered
from service.domain.terms import RoleId


def compiled(task: Task, lifted: Collection[Fact] = ()) -> Problem:
    """The task as masks, without the lifted facts.

    Raises ValueError for two boards in one place, and for a version wanted of a role without a board.
    """
    return _Compiler(task, frozenset(lifted)).problem()


@dataclass(frozen=True, slots=True)
class _Compiler:
    task: Task
    lifted: frozenset[Fact]

    def problem(self) -> Problem:
        boards = ordered(self.task.software, self.task.boards)
        there = {board.place.role for board in boards}
        if missing := sorted(self.task.wanted.keys() - there):
            raise ValueError(f"a version is wanted of {missing[0]}, where no board carries software")
        lanes = tuple(self._lane(board, there) for board in boards)
        return Problem(lanes=lanes, pairs=self._pairs(lanes))

    def _holds(self, kind: FactKind, release: Release, other: RoleId | None = None) -> bool:
        return Fact(kind, release.role, release.version, other) not in self.lifted

    def _lane(self, board: Board, there: Collection[RoleId]) -> Lane:
        role = board.place.role
        releases = self.task.software.releases[role]
        listed: list[Carried] = [release.version for release in releases]
        nodes = (*listed, *sorted(board.may_carry - set(listed), key=_unlisted))
        usable = _mask(self._runs(release, board, there) for release in releases)
        sources = [self._loads_over(release, nodes) for release in releases]
        loads = tuple(
            _mask(source >> node & 1 and target != node for target, source in enumerate(sources)) & usable
            for node in range(len(nodes))
        )
        start = _mask(node in board.may_carry for node in nodes)
        return Lane(
            place=board.place, nodes=nodes, start=start, goal=usable & self._wanted(role, nodes), loads=loads
        )

    def _runs(self, release: Release, board: Board, there: Collection[RoleId]) -> bool:
        """Whether a release can do its work on a board at all, whatever is on the others."""
        return (
            self._is_for(FactKind.PARTS, release, release.parts, board.part)
            and self._is_for(FactKind.MODELS, release, release.models, self.task.model)
            and all(
                not need.must_be_there or role in there or not self._holds(FactKind.NEEDS, release, role)
                for role, need in release.needs.items()
            )
        )

    def _is_for(self, kind: FactKind, release: Release, limit: Collection[str] | None, value: str) -> bool:
        """Whether a limit of a release lets a part or a model through; no limit does."""
        return limit is None or value in limit or not self._holds(kind, release)

    def _loads_over(self, release: Release, nodes: tuple[Carried, ...]) -> int:
        over = release.loads_from
        if over is None or not self._holds(FactKind.LOADS_FROM, release):
            return (1 << len(nodes)) - 1
        return _mask(node is not None and node in over for node in nodes)

    def _wanted(self, role: RoleId, nodes: tuple[Carried, ...]) -> int:
        wanted = self.task.wanted.get(role)
        if wanted is None or Fact(FactKind.WANTED, role) in self.lifted:
            return (1 << len(nodes)) - 1
        return _mask(node is not None and node in wanted for node in nodes)

    def _pairs(self, lanes: tuple[Lane, ...]) -> Pairs:
        pairs = {}
        for one in range(len(lanes)):
            for two in range(one + 1, len(lanes)):
                asked = self._asked(lanes[one], lanes[two])
                answered = _turned(self._asked(lanes[two], lanes[one]), len(lanes[one].nodes))
                rows = tuple(a & b for a, b in zip(asked, answered, strict=True))
                if any(row + 1 != 1 << len(lanes[two].nodes) for row in rows):
                    pairs[one, two] = rows
                    pairs[two, one] = _turned(rows, len(lanes[two].nodes))
        return pairs

    def _asked(self, asking: Lane, other: Lane) -> tuple[int, ...]:
        """For each node of the asking board the nodes of the other that meet its need."""
        everything = (1 << len(other.nodes)) - 1
        releases = self.task.software.releases[asking.place.role]
        rows = [everything] * len(asking.nodes)
        for at, release in enumerate(releases):
            need = release.needs.get(other.place.role)
            if need is not None and self._holds(FactKind.NEEDS, release, other.place.role):
                rows[at] = _mask(node is not None and node in need.range for node in other.nodes)
        return tuple(rows)


def _unlisted(version: Carried) -> tuple[bool, str]:
    return version is None, str(version)


def _mask(bits: Iterable[object]) -> int:
    """A number whose lowest bit is the first value."""
    mask = 0
    for at, bit in enumerate(bits):
        mask |= bool(bit) << at
    return mask


def _turned(rows: tuple[int, ...], width: int) -> tuple[int, ...]:
    """Rows and columns exchanged: `width` is the number of columns."""
    return tuple(_mask(row >> column & 1 for row in rows) for column in range(width))
