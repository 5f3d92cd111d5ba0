"""A question that the catalogue gives no meaning to, told as faults of the request."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from service.api.problems.problem import Fault, Problem, in_body, in_parameter, invalid
from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.question import ImpossibleQuestion
from service.usecases.mending import hint, shown

Facts = Mapping[str, str]

DETAILS: Mapping[str, Callable[[Facts, CompiledCatalogue], str]] = {
    "too_many_boards": lambda facts, _: f"more than {facts['limit']} boards: ask in several questions",
    "unknown_role": lambda facts, c: _unknown("role", facts["role"], c.catalogue.roles),
    "unknown_part": lambda facts, c: _unknown("part", facts["part"], c.catalogue.parts),
    "unknown_model": lambda facts, c: _unknown("model", facts["model"], c.models),
    "unknown_market": lambda facts, c: _unknown("market", facts["market"], c.catalogue.markets),
    "unknown_accessory": lambda facts, c: _unknown("accessory", facts["accessory"], c.catalogue.accessories),
    "unknown_place": lambda facts, _: (
        f"the role has no place {shown(facts['place'])}: "
        + (f"use one of {facts['places']}" if facts["places"] else "it has one place, leave this out")
    ),
    "place_taken_twice": lambda facts, _: (
        f"two boards for the place {facts['place']}: leave one out, or give each its own role and place"
    ),
    "board_named_twice": lambda facts, _: (
        f"the board {shown(facts['serial'])} is named twice: one board goes into one place"
    ),
    "role_needed": lambda _, __: "the board may be for several roles: give its role",
    "role_and_part_differ": lambda facts, _: (
        f"the part {shown(facts['part'])} is not for the role {shown(facts['role'])}: leave one of them out"
    ),
    "as_of_in_future": lambda _, __: "lies in the future: leave it out to ask about now",
    "nothing_published_then": lambda _, __: "no catalogue was published then: ask about a later moment",
    "read_twice": lambda _, __: "the same board is read here and in unit/read: say it once",
}
"""What is wrong and how to mend it, by the code of the question's fault."""

PARAMETERS = {
    "/unit/model": "model",
    "/unit/market": "market",
    "/boards/0": "part",
    "/boards/0/serial": "board",
    "/boards/0/part": "part",
    "/boards/0/role": "role",
    "/boards/0/place": "place",
    "/boards/0/claimed/part": "part",
    "/boards/0/claimed/bound_model": "bound_model",
}
"""Where the places of a question stand when it is asked in one line."""


def impossible(error: ImpossibleQuestion, compiled: CompiledCatalogue, *, flat: bool = False) -> Problem:
    """The problem of a question that cannot be put. `flat`: it was asked in one line."""
    detail = DETAILS[error.code](error.facts, compiled)
    return invalid([_placed(error.pointer, detail, flat=flat)])


def _placed(pointer: str, detail: str, *, flat: bool) -> Fault:
    if flat:
        return in_parameter(PARAMETERS.get(pointer, pointer.rpartition("/")[2]), detail)
    steps = [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]
    return in_body([int(step) if step.isdigit() else step for step in steps], detail)


def _unknown(what: str, name: str, known: Iterable[str]) -> str:
    mend = hint(name, known, found_at="/v1/models" if what != "part" else "/v1/parts")
    return f"the catalogue has no {what} {shown(name)}: {mend}"
