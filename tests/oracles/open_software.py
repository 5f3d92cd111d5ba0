"""What may be on the boards of a question, as far as an answer hangs on it.

An unknown release is any that runs on the board's part. Boards that stay work: what is unknown of them, their
parts too, goes together as it is, where what is known allows it. And where loads bring everything together
whatever is on the boards, what is unknown is taken to go together as it is.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

from tests.oracles.plain_software import Boards, PlainSoftware

Releases = Mapping[str, str]
"""Place to release."""


@dataclass(frozen=True, slots=True)
class OpenSoftware:
    """The boards of one unit: for each place with software the parts that may be there."""

    software: PlainSoftware
    model: str
    parts: Mapping[str, Sequence[str]]
    known: Releases
    staying: frozenset[str]
    kept: dict[Boards, list[Boards]] = field(default_factory=dict)

    def groups(self) -> Iterator[list[str]]:
        for group in self.software.groups:
            yield [place for place in group if place in self.parts]

    def ways(self, there: Mapping[str, str]) -> Iterator[Releases]:
        """What may be on the boards with these parts, every way."""
        found = [self.of_group([(place, there[place]) for place in group]) for group in self.groups()]
        for chosen in product(*found):
            yield {place: release for boards in chosen for place, _, release in boards}

    def telling(self) -> Mapping[str, Sequence[str]]:
        """The places on whose releases something hangs, with all that may be on them."""
        found: dict[str, set[str]] = {}
        for group in self.groups():
            every = [
                boards
                for parts in product(*(self.parts[place] for place in group))
                for boards in self.of_group(list(zip(group, parts, strict=True)))
            ]
            if any(self.software.loads(self.model, boards) != 0 for boards in every):
                for place, _, release in (board for boards in every for board in boards):
                    found.setdefault(place, set()).add(release)
        return {place: sorted(releases) for place, releases in found.items()}

    def of_group(self, boards: list[tuple[str, str]]) -> list[Boards]:
        key = tuple((place, part, "") for place, part in boards)
        if key not in self.kept:
            self.kept[key] = self.possible(boards)
        return self.kept[key]

    def possible(self, boards: list[tuple[str, str]]) -> list[Boards]:
        options = [
            [(place, part, release) for release in self.may_carry(place, part)] for place, part in boards
        ]
        found: list[Boards] = list(product(*options))
        if self.may_work([place for place, _ in boards]):
            found = [each for each in found if self.together(each, self.staying)]
        if any(self.software.loads(self.model, each) is None for each in found):
            return found
        return [each for each in found if self.together(each, self.parts.keys())] or found

    def may_work(self, places: Sequence[str]) -> bool:
        """Whether the boards that stay may go together as they are, whichever of the parts they are of."""
        boards = [
            [(place, part, release) for part in self.parts[place] for release in self.may_carry(place, part)]
            for place in places
            if place in self.staying
        ]
        return any(self.together(each, self.staying) for each in product(*boards))

    def may_carry(self, place: str, part: str) -> list[str]:
        return [self.known[place]] if place in self.known else self.software.runs_on(place, part)

    def together(self, boards: Boards, places: Container[str]) -> bool:
        """Whether the boards in these places go together as they are, the others left aside."""
        return self.software.loads(self.model, tuple(b for b in boards if b[0] in places)) == 0
