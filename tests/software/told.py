"""Small catalogues of releases as one writes them down: "role version" to what the release asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.domain.place import Place
from service.domain.software.ranges import parse_range
from service.domain.software.releases import Need, Release, Software, software
from service.domain.software.task import Aim, Board, Carried, Task
from service.domain.software.versions import parse_version
from service.domain.terms import ModelId, PartNumber, RoleId

Told = Mapping[str, Mapping[str, str]]
"""`{"main 2.0.0": {"panel": "^1", "over": "1.x"}}`: needs by role, and over what it is loaded."""

PART = PartNumber("a-part")


def catalogue(roles: Sequence[str], told: Told, *, must_be_there: bool = False) -> Software:
    return software(
        [RoleId(role) for role in roles], [_release(*each, must_be_there) for each in told.items()]
    )


def _release(name: str, asks: Mapping[str, str], must_be_there: bool) -> Release:
    role, version = name.split(" ")
    over = asks.get("over")
    return Release(
        role=RoleId(role),
        version=parse_version(version),
        needs={
            RoleId(other): Need(range=parse_range(text), must_be_there=must_be_there)
            for other, text in asks.items()
            if other != "over"
        },
        loads_from=None if over is None else parse_range(over),
    )


def board(name: str, *versions: str | None) -> Board:
    """A board that may carry these; None is nothing that answers."""
    role, _, place = name.partition(".")
    carried: frozenset[Carried] = frozenset(v if v is None else parse_version(v) for v in versions)
    return Board(place=Place(RoleId(role), place), part=PART, may_carry=carried)


def task(listed: Software, boards: Sequence[Board], aim: Aim = Aim.NEWEST, **wanted: str) -> Task:
    return Task(
        software=listed,
        model=ModelId("a-model"),
        boards=tuple(boards),
        wanted={RoleId(role): parse_range(text) for role, text in wanted.items()},
        aim=aim,
    )
