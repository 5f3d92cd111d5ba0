"""Questions that are hardly ever asked twice: what is said of boards and machines has no end."""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from random import Random
from typing import Any

from service.api.schemas.closed import Assume, StatedBinding, StatedCondition
from service.demo.world import demo_catalogue
from service.domain.catalogue.model import Catalogue
from service.domain.terms import Means
from service.papers import read_catalogue
from tests.soak.asks import GERMAN, TEXT, Ask, post

HEADERS: tuple[dict[str, str], ...] = (
    {},
    {},
    {"Accept-Language": "de"},
    {"Accept-Language": "fr"},
    TEXT,
    GERMAN,
)


@cache
def demo() -> Catalogue:
    """The catalogue that is in force, but for a price."""
    return read_catalogue(demo_catalogue())


@cache
def parts_by_role() -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for part in demo().parts.values():
        found[part.role].append(part.number)
    return found


def any_question(random: Random) -> Ask:
    """A question of fit: any model, any boards, and whatever may be said of them."""
    model = random.choice(sorted(demo().models))
    unit: dict[str, Any] = {"model": model, "boards": _boards(random, random.randrange(3))}
    if random.random() < 0.5:
        unit["made_on"] = (
            f"{random.randint(2015, 2025)}-{random.randint(1, 12):02}-{random.randint(1, 28):02}"
        )
    if random.random() < 0.5:
        unit["market"] = random.choice(sorted(demo().models[model].markets))
    body = {
        "unit": unit,
        "boards": _boards(random, random.randint(1, 3)),
        "assume": str(random.choice(list(Assume))),
        "means": str(random.choice(list(Means))),
    }
    return post("any question", "/v1/fit-checks", body, headers=random.choice(HEADERS), steady=False)


def _boards(random: Random, count: int) -> list[dict[str, Any]]:
    roles = random.sample(sorted(parts_by_role()), count)
    return [{"part": random.choice(parts_by_role()[role]), **_said(random)} for role in roles]


def _said(random: Random) -> dict[str, Any]:
    said: dict[str, Any] = {}
    binding = random.choice([None, *StatedBinding])
    if binding is not None:
        said["binding"] = str(binding)
    if binding is StatedBinding.BOUND:
        said["bound_model"] = random.choice(sorted(demo().models))
    if random.random() < 0.4:
        said["condition"] = str(random.choice(list(StatedCondition)))
    if random.random() < 0.4:
        said["introduced"] = random.random() < 0.5
    return {"claimed": said} if said else {}
