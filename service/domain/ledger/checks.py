"""What the fields of one event must be together, where a field table cannot say it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from service.domain.ledger.fields import Fault
from service.domain.ledger.programming import BINDING, POLICIES
from service.domain.terms import StepKind

Path = tuple[str | int, ...]
Check = Callable[[Mapping[str, Any], Path], Iterator[Fault]]


def exactly_one(*names: str) -> Check:
    def check(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
        if sum(name in data for name in names) != 1:
            yield Fault(path, "exactly_one")

    return check


def not_both(one: str, other: str) -> Check:
    def check(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
        if one in data and other in data:
            yield Fault((*path, other), "not_together")

    return check


def needs(name: str, *others: str) -> Check:
    """Where `name` is given the others are too."""

    def check(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
        if name in data:
            yield from (Fault((*path, other), "missing") for other in others if other not in data)

    return check


def for_each(name: str, *checks: Check) -> Check:
    """The checks on every entry of a list."""

    def check(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
        for index, entry in enumerate(data.get(name, ())):
            for inner in checks:
                yield from inner(entry, (*path, name, index))

    return check


def binding_agrees(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
    """A model is told exactly for a bound board, and a blank board holds no serial."""
    if (data.get("binding") == "bound") != ("bound_model" in data):
        yield Fault((*path, "bound_model"), "not_together" if "bound_model" in data else "missing")
    if data.get("binding") == "blank" and data.get("holds"):
        yield Fault((*path, "holds"), "not_together")


def boards_once(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
    """No board and no place twice in a unit's set."""
    seen: set[object] = set()
    for index, entry in enumerate(data.get("boards", ())):
        for key in (entry["board"], (entry["role"], entry.get("place", ""))):
            if key in seen:
                yield Fault((*path, "boards", index), "not_together")
            seen.add(key)


def reading_of_pair(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
    """Whether a follower is introduced is read in its place; "yes" names the board that it knows."""
    if "introduced" not in data:
        return
    if data.get("policy") != "follows":
        yield Fault((*path, "policy"), "wrong_value" if "policy" in data else "missing")
    if data["introduced"] and "naming" not in data:
        yield Fault((*path, "naming"), "missing")


def two_boards(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
    """A board is not introduced to itself."""
    if "naming" in data and data["naming"]["board"] == data.get("board"):
        yield Fault((*path, "naming", "board"), "not_together")


def two_units(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
    """A unit is not converted into itself: one that was converted has a serial of its own."""
    if data["unit"] == data["into"]:
        yield Fault((*path, "into"), "not_together")


def step_is_told(data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
    """Each step names what it works on; a step that binds names the model, for it is permanent."""
    step = StepKind(data["step"])
    for name in _step_needs(step):
        if name not in data:
            yield Fault((*path, name), "missing")
    if "naming" in data and step is not StepKind.INTRODUCE:
        yield Fault((*path, "naming"), "not_together")
    if "role" in data:
        yield from _sits(step, data, path)


def _step_needs(step: StepKind) -> tuple[str, ...]:
    if step in BINDING:
        return ("unit", "board", "model")
    if step is StepKind.INTRODUCE:
        return ("unit", "board", "role", "naming")
    return ("board",) if step in {StepKind.LOAD, StepKind.CALIBRATE} else ("unit",)


def _sits(step: StepKind, data: Mapping[str, Any], path: Path) -> Iterator[Fault]:
    yield from (Fault((*path, name), "missing") for name in ("unit", "board") if name not in data)
    implied, stated = POLICIES.get(step), data.get("policy")
    if implied is None and stated is None:
        yield Fault((*path, "policy"), "missing")
    if implied is not None and stated not in {None, implied}:
        yield Fault((*path, "policy"), "not_together")
