"""Which software goes together, read from the plain document: rule 10 in the plainest form.

In the documents of these tests a range is a list of versions, written `=1.0.0 || =2.0.0`, so that nobody here
has to know how ranges are read. A board's release is the name of a version, or `nothing` where it answers
nothing. The meanings:

- every release of every board of the resulting set is listed, runs on its part and is made for the model, and
  every two boards have what they need of each other: then nothing has to be loaded;
- a load puts a listed release onto a board on which it runs, over one of those it is loaded from. Two boards
  that went together before still do so after it; two that did not are let off until the end.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from itertools import combinations
from typing import Any

import networkx as nx

from tests.oracles.world import Document, places_of, role_of

NOTHING = "nothing"

Boards = tuple[tuple[str, str, str], ...]
"""Place, part and release of each board of a group."""


def versions_in(text: str) -> list[str]:
    """The versions of a range as these documents write it."""
    return [each.strip().removeprefix("=") for each in text.split("||")]


class PlainSoftware:
    """The software of one catalogue document. It remembers what it found of a set of boards."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.releases: dict[str, dict[str, Any]] = {
            role: {each["version"]: each for each in map(whole, told["releases"])}
            for role, told in document["roles"].items()
            if told.get("releases")
        }
        self.known: dict[tuple[str, Boards], int | None] = {}

    @cached_property
    def groups(self) -> list[list[str]]:
        """The places of roles that needs join, in the catalogue's order."""
        joined: nx.Graph[str] = nx.Graph()
        joined.add_nodes_from(self.releases)
        joined.add_edges_from(
            (role, other)
            for role, listed in self.releases.items()
            for each in listed.values()
            for other in each.get("needs", {})
        )
        return [
            [place for role in self.releases if role in roles for place in places_of(role, self.document)]
            for roles in nx.connected_components(joined)
        ]

    def runs_on(self, place: str, part: str) -> list[str]:
        """What may be on a board of which nothing is known."""
        listed = self.releases[role_of(place)].values()
        return [each["version"] for each in listed if part in each.get("parts", [part])] or [NOTHING]

    def loads(self, model: str, boards: Boards) -> int | None:
        """How many loads it takes at least until these boards go together; None where none do."""
        if (model, boards) not in self.known:
            self.known[model, boards] = self.fewest(model, boards)
        return self.known[model, boards]

    def fewest(self, model: str, boards: Boards) -> int | None:
        """One more load at a time, from every set that so many led to."""
        let_off = set(self.at_odds(boards))
        now, seen, loads = {boards}, {boards}, 0
        while now:
            if any(self.is_end(model, each) for each in now):
                return loads
            now = {after for each in now for after in self.loaded(model, each, let_off)} - seen
            seen |= now
            loads += 1
        return None

    def is_end(self, model: str, boards: Boards) -> bool:
        return not any(True for _ in self.at_odds(boards)) and all(
            self.usable(model, place, part, release) for place, part, release in boards
        )

    def usable(self, model: str, place: str, part: str, release: str) -> bool:
        each = self.releases[role_of(place)].get(release)
        return each is not None and part in each.get("parts", [part]) and model in each.get("models", [model])

    def loaded(self, model: str, boards: Boards, let_off: set[tuple[str, str]]) -> Iterator[Boards]:
        """Every set that one load makes of this one."""
        for at, (place, part, before) in enumerate(boards):
            for version, each in self.releases[role_of(place)].items():
                over = "loads_from" not in each or before in versions_in(each["loads_from"])
                after = (*boards[:at], (place, part, version), *boards[at + 1 :])
                fits = over and version != before and self.usable(model, place, part, version)
                if fits and set(self.at_odds(after)) <= let_off:
                    yield after

    def at_odds(self, boards: Boards) -> Iterator[tuple[str, str]]:
        for (one, _, mine), (other, _, yours) in combinations(boards, 2):
            if not (
                self.has_its_needs(one, mine, other, yours) and self.has_its_needs(other, yours, one, mine)
            ):
                yield one, other

    def has_its_needs(self, one: str, release: str, other: str, beside: str) -> bool:
        needs = self.releases[role_of(one)].get(release, {}).get("needs", {})
        return role_of(other) not in needs or beside in versions_in(needs[role_of(other)])


def whole(release: str | Document) -> Document:
    """A release of which there is nothing more to say stands as its name alone."""
    return {"version": release} if isinstance(release, str) else release
