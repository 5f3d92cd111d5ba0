"""Plans as plain values, so that whoever checks them shares nothing with whoever made them."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from random import Random
from typing import Any

from service.api.asking import question
from service.domain.catalogue.model import Catalogue
from service.domain.fit.answer import Answer
from service.domain.steps.merging import PlannedStep
from tests.laws.cases import catalogue
from tests.laws.engine import SCHEMA, compiled, records_of
from tests.oracles.questions import Asked, Writer
from tests.oracles.world import World
from tests.oracles.worlds import WorldMaker
from tests.support.cases import answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of an answer."""

    kind: str
    place: str
    """`main`, `bumper.left`; empty for what is done to the unit."""
    old: bool
    subject: str
    who: str
    minutes: tuple[int, int]
    tool: bool
    undoable: bool
    condition: tuple[str, tuple[str, ...]] | None
    release: str = ""
    """Of a load: what is loaded."""

    @property
    def name(self) -> tuple[str, str, bool, str]:
        """What tells it from the other steps of a plan."""
        return self.kind, self.place, self.old, self.subject or self.release


def told(planned: PlannedStep, catalogue: Catalogue) -> Step:
    step, release = planned.step, ""
    if step.place is not None and step.release is not None:
        release = catalogue.roles[step.place.role].releases[step.release]
    return Step(
        kind=str(step.kind),
        place=str(step.place) if step.place else "",
        old=step.old,
        subject=step.procedure.subject,
        who=str(step.procedure.who),
        minutes=step.procedure.minutes,
        tool=step.procedure.tool,
        undoable=step.undoable,
        condition=planned.condition,
        release=release,
    )


def answered(asked: Asked) -> Answer:
    put = question(SCHEMA.load(dict(asked.question)))
    return answer(compiled(asked.catalogue), put, records_of(asked.records))


def steps(found: Answer) -> list[Step]:
    units = found.case.unit.hubs
    return [told(planned, units[0].compiled.catalogue) for planned in found.steps]


def reordered(rng: Random, document: dict[str, Any]) -> dict[str, Any]:
    """The catalogue with each family's procedures in another order that can be worked, by other people, in
    other times, and with what a real shop does besides."""
    document = deepcopy(document)
    for family in document["families"].values():
        if family.get("procedures"):
            kinds = [told["step"] for told in family["procedures"]]
            extra = ["erase_owner_data", *rng.sample(["station", "code", "app"], rng.randint(0, 3))]
            family["procedures"] = [procedure(rng, kind) for kind in workable(rng, [*kinds, *extra])]
    return document


def procedure(rng: Random, kind: str) -> dict[str, Any]:
    least = rng.randint(1, 20)
    told: dict[str, Any] = {"step": kind, "minutes": [least, least + rng.randint(0, 20)]}
    told["who"] = rng.choice(["owner", "dealer", "maker"])
    if kind in ("station", "code", "app"):
        return {**told, "step": "activate", "subject": kind, "name": kind}
    if kind in ("read_out", "load", "enter_serial", "assign", "introduce", "erase_owner_data"):
        told["tool"] = True
    return {**told, "tool": rng.random() < 0.5} if kind == "calibrate" else told


def workable(rng: Random, kinds: list[str]) -> list[str]:
    """A shuffled order in which each step finds what it needs done."""
    chain = ["read_out", "remove", "mount", "enter_serial", "assign", "introduce"]
    order = [kind for kind in chain if kind in kinds]
    for kind in kinds:
        if kind not in order:
            # What is done with a board in its place can't come before it is there.
            order.insert(rng.randint(order.index("mount") + 1, len(order)), kind)
    return order


@dataclass(frozen=True, slots=True)
class Known:
    """A world, the question that states it whole, and the answer."""

    world: World
    asked: Asked
    answer: Answer


def fitting(seed: int, count: int) -> Iterator[Known]:
    """Of so many worlds over one catalogue, those that fit."""
    rng = Random(seed)
    document = reordered(rng, dict(catalogue(seed)))
    maker, writer = WorldMaker(rng, document, ill=0.25), Writer(rng, document)
    for _ in range(count):
        world = maker.make()
        asked = writer.stated(world)
        found = answered(asked)
        if found.fit == "yes":
            yield Known(world, asked, found)
