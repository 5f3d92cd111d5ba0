"""Random questions about software as plain data: a version is a text, a range the list of what it holds."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

VERSIONS = ("1.0.0", "1.2.0", "1.10.0", "2.0.0-rc.1", "2.0.0", "2.1.0")
"""The oldest first; as texts they would sort otherwise."""
UNLISTED = "0.0.7"
NOTHING = "nothing"
"""What is on a board that answers nothing."""

Facts = frozenset[tuple[str, ...]]


@dataclass(frozen=True)
class PlainRelease:
    version: str
    parts: tuple[str, ...] | None = None
    models: tuple[str, ...] | None = None
    needs: dict[str, tuple[tuple[str, ...], bool]] = field(default_factory=dict)
    """Role to the versions that will do, and whether a board must be there."""
    loads_from: tuple[str, ...] | None = None


@dataclass(frozen=True)
class Instance:
    """Boards of one unit, by place. Roles in their order; the places of a role stand together."""

    roles: tuple[str, ...]
    releases: dict[str, tuple[PlainRelease, ...]]
    """By role, the oldest first."""
    places: tuple[tuple[str, str, str], ...]
    """Place name, role and part of each board."""
    carries: tuple[str, ...]
    wanted: dict[str, tuple[str, ...]]
    model: str = "m1"

    def without(self, lifted: Facts) -> Instance:
        """The same with some facts left out: (kind, role, version, other)."""
        wanted = {role: held for role, held in self.wanted.items() if ("wanted", role) not in lifted}
        releases = {
            role: tuple(_without(role, each, lifted) for each in listed)
            for role, listed in self.releases.items()
        }
        return replace(self, wanted=wanted, releases=releases)

    def facts(self) -> Facts:
        """Every fact of the roles that have a board."""
        there = {role for _, role, _ in self.places}
        told = {("wanted", role) for role in self.wanted if role in there}
        return frozenset(told) | {
            fact for role in there for each in self.releases[role] for fact in _facts(role, each)
        }


def _facts(role: str, each: PlainRelease) -> Iterator[tuple[str, ...]]:
    if each.parts is not None:
        yield ("parts", role, each.version)
    if each.models is not None:
        yield ("models", role, each.version)
    if each.loads_from is not None:
        yield ("loads_from", role, each.version)
    yield from (("needs", role, each.version, other) for other in each.needs)


def _without(role: str, each: PlainRelease, lifted: Facts) -> PlainRelease:
    def gone(kind: str, *other: str) -> bool:
        return (kind, role, each.version, *other) in lifted

    return PlainRelease(
        version=each.version,
        parts=None if gone("parts") else each.parts,
        models=None if gone("models") else each.models,
        needs={other: need for other, need in each.needs.items() if not gone("needs", other)},
        loads_from=None if gone("loads_from") else each.loads_from,
    )


def instance(rng: random.Random, most_boards: int = 4, most_releases: int = 5) -> Instance:
    """One random question. Needs follow a few joined roles, near the same version, so that plans exist.

    Some are strict: every release can be loaded over every other, and the needs alone force steps in between;
    with more than four boards there are none of these, their product would be too large.
    """
    strict = rng.random() < 0.3 and most_boards <= 4
    roles = tuple(f"role{at}" for at in range(rng.randint(2, most_boards)))
    joined = [(rng.choice(roles[:at]), roles[at]) for at in range(1, len(roles)) if rng.random() < 0.85]
    joined += [(two, one) for one, two in joined if rng.random() < 0.5]
    joined += [(role, role) for role in roles if rng.random() < 0.1]
    releases = {
        role: _strict_releases(rng, role, joined) if strict else _releases(rng, role, joined, most_releases)
        for role in roles
    }
    places = tuple(_places(rng, roles, most_boards))
    carries = _carried_by_all(rng, releases, places)
    wanted = {role: _some(rng, releases[role], 0.6) for role in roles if rng.random() < 0.15}
    wanted = {role: held for role, held in wanted.items() if any(role == there for _, there, _ in places)}
    return Instance(roles=roles, releases=releases, places=places, carries=carries, wanted=wanted)


def _places(rng: random.Random, roles: Sequence[str], most: int) -> Iterator[tuple[str, str, str]]:
    """A board for almost every role, two for a few."""
    spare = most - len(roles)
    for role in roles:
        twice = spare > 0 and rng.random() < 0.25
        spare -= twice
        names = ("left", "right") if twice else ("",) if rng.random() < 0.93 else ()
        for name in names:
            yield (f"{role}.{name}" if name else role, role, rng.choice(("old", "new")))


def _releases(
    rng: random.Random, role: str, joined: Sequence[tuple[str, str]], most: int
) -> tuple[PlainRelease, ...]:
    versions = sorted(rng.sample(range(len(VERSIONS)), rng.randint(2, most)))
    return tuple(_release(rng, role, version, joined) for version in versions)


def _strict_releases(
    rng: random.Random, role: str, joined: Sequence[tuple[str, str]]
) -> tuple[PlainRelease, ...]:
    finished = [version for version in VERSIONS if "-" not in version]
    return tuple(
        PlainRelease(
            version=version,
            needs={
                two: (tuple(finished[max(0, at - rng.randint(0, 1)) : at + 1 + rng.randint(0, 1)]), False)
                for one, two in joined
                if one == role
            },
        )
        for at, version in enumerate(finished)
    )


def _release(rng: random.Random, role: str, version: int, joined: Sequence[tuple[str, str]]) -> PlainRelease:
    needs = {
        two: (_near(rng, version), rng.random() < 0.05)
        for one, two in joined
        if one == role and rng.random() < 0.8
    }
    over = None if rng.random() < 0.3 else _before(rng, version)
    return PlainRelease(
        version=VERSIONS[version],
        parts=("new",) if rng.random() < 0.1 else None,
        models=rng.choice((("m1",), ("m2",), ("m1", "m2"))) if rng.random() < 0.08 else None,
        needs=needs,
        loads_from=over,
    )


def _near(rng: random.Random, version: int) -> tuple[str, ...]:
    """Versions round about one; now and then with a hole."""
    low, high = version - rng.choice((0, 0, 1, 1, 2)), version + rng.choice((0, 1, 1, 2))
    return tuple(v for at, v in enumerate(VERSIONS) if low <= at <= high and rng.random() < 0.93)


def _before(rng: random.Random, version: int) -> tuple[str, ...]:
    """Versions over which one can be loaded: mostly a few older ones, now and then newer or unlisted ones."""
    low = version - rng.choice((1, 1, 2, 3))
    older = [v for at, v in enumerate(VERSIONS) if low <= at < version]
    newer = [v for at, v in enumerate(VERSIONS) if at > version and rng.random() < 0.15]
    return tuple(older + newer + ([UNLISTED] if rng.random() < 0.3 else []))


def _carried_by_all(
    rng: random.Random,
    releases: dict[str, tuple[PlainRelease, ...]],
    places: Sequence[tuple[str, str, str]],
) -> tuple[str, ...]:
    """What is on the boards: mostly something that goes together, as it does in a unit that works."""
    draws = [tuple(_carried(rng, releases[role]) for _, role, _ in places) for _ in range(8)]
    good = [draw for draw in draws if rng.random() < 0.8 and not _unmet(releases, places, draw)]
    return (good or draws)[0]


def _unmet(
    releases: dict[str, tuple[PlainRelease, ...]],
    places: Sequence[tuple[str, str, str]],
    carries: tuple[str, ...],
) -> bool:
    """Whether some board has not what its release needs of another one."""
    on_role = [(role, version) for (_, role, _), version in zip(places, carries, strict=True)]
    return any(
        beside not in each.needs.get(other, ((beside,), False))[0]
        for at, (role, version) in enumerate(on_role)
        for each in releases[role]
        if each.version == version
        for beside_at, (other, beside) in enumerate(on_role)
        if beside_at != at
    )


def _carried(rng: random.Random, releases: Sequence[PlainRelease]) -> str:
    if rng.random() < 0.06:
        return rng.choice((UNLISTED, NOTHING))
    # Mostly an old release: from there the way is long.
    return releases[min(rng.randrange(len(releases)) for _ in range(3))].version


def _some(rng: random.Random, releases: Sequence[PlainRelease], share: float) -> tuple[str, ...]:
    return tuple(each.version for each in releases if rng.random() < share)
