"""Seeded worlds over a generated catalogue: mostly a sound unit with one thing amiss, or two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random

from tests.oracles.catalogues import DAYS, KEYS, POLICY, chance
from tests.oracles.plain_rules import PlainRules
from tests.oracles.plain_serials import break_keys
from tests.oracles.plain_software import NOTHING
from tests.oracles.world import BLANK, UNBOUND, Board, Document, World, places_of, role_of

SAMPLE_KEYS = (KEYS[0] - 1, KEYS[0], KEYS[1] - 1, KEYS[1], 1, 9999)
"""Order keys at both sides of each break, and far from all."""
HELD_BY_THOSE_THAT_STAY = (*["this_unit"] * 6, "idle", "in_service")
UNLISTED = "0.9.0"
"""A release of which the catalogue knows nothing."""
SAMPLE_DAYS = ("2019-06-01", "2021-02-28", DAYS[0], "2023-09-14", DAYS[1], "2025-01-02")


class WorldMaker:
    """Draws worlds over one catalogue document."""

    def __init__(self, rng: Random, document: Document, *, ill: float = 1.0, strangers: bool = False) -> None:
        """Take a document; `ill` makes what is amiss more or less frequent.

        With `strangers` a board may be bound to a model that its part is neither listed nor reached for.
        """
        self.rng = rng
        self.software_rng = Random(len(str(document)))
        """A stream of its own, so that what else is drawn does not hang on it."""
        self.holder_rng = Random(len(str(document)))
        """The same for whose serial a board holds that stays."""
        self.rules = PlainRules(document, break_keys(document))
        self.ill = ill
        self.strangers = strangers
        self.document = document
        self.covered = [m for m, each in document["models"].items() if each["family"] != "fam-u"]
        self.uncovered = [m for m in document["models"] if m not in self.covered]
        self.by_role = {
            role: [part for part in document["parts"] if part["role"] == role] for role in document["roles"]
        }

    def make(self) -> World:
        rng = self.rng
        model = rng.choice(self.uncovered if chance(rng, 0.1 * self.ill) else self.covered)
        roles = self.document["models"][model].get("roles", {})
        places = [place for role in roles for place in places_of(role, self.document)]
        proposed = self.proposed(places)
        boards: dict[str, Board | None] = {
            place: None if chance(rng, 0.02 * self.ill) else self.staying(place, model)
            for place in places
            if place not in proposed
        }
        boards |= {place: self.put_in(place, model) for place in proposed}
        return World(
            model=model,
            key=rng.choice(SAMPLE_KEYS),
            day=rng.choice(SAMPLE_DAYS),
            market=rng.choice(
                self.document["models"][model].get("markets") or list(self.document["markets"])
            ),
            boards=self.with_software(model, self.moved_together(boards)),
        )

    def with_software(self, model: str, boards: dict[str, Board | None]) -> dict[str, Board | None]:
        """The boards with something on them: mostly what goes together, as in a machine that works."""
        software = self.rules.software
        for group in software.groups:
            there = {place: board for place in group if (board := boards.get(place)) is not None}
            draws = [{place: self.release(place, board) for place, board in there.items()} for _ in range(5)]
            told = [tuple((p, there[p].part, release) for p, release in draw.items()) for draw in draws]
            good = [draw for draw, each in zip(draws, told, strict=True) if software.loads(model, each) == 0]
            chosen = good[0] if good and chance(self.software_rng, 0.5) else draws[0]
            boards |= {place: replace(board, release=chosen[place]) for place, board in there.items()}
        return boards

    def release(self, place: str, board: Board) -> str:
        """One that runs on the board; now and then one that is not listed for it, or not at all."""
        rng, software = self.software_rng, self.rules.software
        drawn = rng.random()
        if drawn < 0.03:
            return UNLISTED
        listed = list(software.releases[role_of(place)])
        return rng.choice(listed if drawn < 0.06 else self.answering(software.runs_on(place, board.part)))

    def answering(self, releases: Sequence[str]) -> Sequence[str]:
        """A caller has no word for a board that answers nothing."""
        return [UNLISTED if release == NOTHING else release for release in releases]

    def proposed(self, places: Sequence[str]) -> list[str]:
        """One to three places for which a board is proposed; now and then one that the model has not."""
        rng = self.rng
        every = [place for role in self.document["roles"] for place in places_of(role, self.document)]
        some = places if places and not chance(rng, 0.05 * self.ill) else every
        drawn = rng.sample(list(some), min(len(some), rng.choice([1, 1, 1, 2, 2, 3])))
        if chance(rng, 0.4) and "brain" not in drawn and "brain" in some:
            drawn[0] = "brain"
        if "brain" in drawn and "face" in some and chance(rng, 0.3):
            drawn = [*dict.fromkeys([*drawn, "face"])]
        return drawn

    def part_for(self, place: str, model: str, ill: float) -> Document:
        """A part of the place's role: one that is listed or replaces a listed one, or with `ill` any."""
        parts = self.by_role[role_of(place)]
        good = [part for part in parts if any(model in row["models"] for row in part.get("fits", []))]
        good += [part for part in parts if part.get("replaces") and part not in good]
        drawn: Document = self.rng.choice(parts if chance(self.rng, ill * self.ill) or not good else good)
        return drawn

    def binding(self, part: Document, model: str, *, blank: float, other: float) -> str:
        if part.get("binding", "free") == "free":
            return UNBOUND
        drawn, models = self.rng.random(), sorted(self.rules.models_of(part["number"]))
        if drawn < blank or (model not in models and not self.strangers):
            return BLANK
        others = list(self.document["models"]) if self.strangers else models
        return self.rng.choice(others) if drawn < blank + other * self.ill else model

    def staying(self, place: str, model: str) -> Board:
        part = self.part_for(place, model, 0.06)
        binding = self.binding(part, model, blank=0.06, other=0.06)
        introduced = "no" if chance(self.rng, 0.15) else "yes"
        names = part.get("binding") == "names" and binding != BLANK
        holds = self.holder_rng.choice(HELD_BY_THOSE_THAT_STAY) if names else "nothing"
        return Board(part=part["number"], binding=binding, introduced=introduced, holds=holds)

    def put_in(self, place: str, model: str) -> Board:
        rng = self.rng
        part = self.part_for(place, model, 0.12)
        binding = self.binding(part, model, blank=0.35, other=0.15)
        names = part.get("binding") == "names" and binding != BLANK
        ill = chance(rng, 0.08 * self.ill)
        return Board(
            part=part["number"],
            binding=binding,
            holds=rng.choice(["this_unit", "idle", "in_service", "in_service"]) if names else "nothing",
            condition=rng.choice(["exposed", "failed", "scrapped"]) if ill else "usable",
            introduced="yes" if chance(rng, 0.25) else "no",
            proposed=True,
        )

    def moved_together(self, boards: dict[str, Board | None]) -> dict[str, Board | None]:
        """Some of the pairs that are proposed together were introduced to each other in another unit."""
        naming = boards.get("brain")
        if naming is None or not naming.proposed or naming.binding == BLANK:
            return boards
        if self.policy(naming) != "names":
            return boards
        for place, board in boards.items():
            pair = board is not None and board.proposed and board.binding not in (BLANK, UNBOUND)
            if (
                board is not None
                and pair
                and POLICY.get(role_of(place)) == "follows"
                and chance(self.rng, 0.6)
            ):
                boards[place] = Board(
                    part=board.part,
                    binding=board.binding,
                    condition=board.condition,
                    introduced="moved_pair",
                    proposed=True,
                )
        return boards

    def policy(self, board: Board) -> str:
        part = next(each for each in self.document["parts"] if each["number"] == board.part)
        return str(part.get("binding", "free"))
