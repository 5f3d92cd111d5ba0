"""What all worlds of a question together say: the axes, the cause, and which facts are worth asking."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from tests.oracles.brute_force import UNIT_FACTS, Row, Table
from tests.oracles.world import AXES

Outcomes = frozenset[str]


@dataclass(frozen=True, slots=True)
class Answer:
    """The two axes and the cause, as the service would give them."""

    fit: str
    programming: str
    cause: str | None


def outcomes(rows: Iterable[Row]) -> Outcomes:
    return frozenset(row.verdict.outcome for row in rows)


def fixed(rows: Iterable[Row], fact: str, value: str) -> list[Row]:
    """The worlds in which a fact has this value, or does not exist: fixing a fact filters the table.

    What is known of a place says nothing about a world whose model does not have that place.
    """
    return [row for row in rows if row.facts.get(fact, value) == value]


def agreed(values: set[str]) -> str:
    """The one value of an axis in all worlds; no axis has a value in a world out of scope."""
    return values.pop() if len(values) == 1 and "out_of_scope" not in values else "unknown"


def answer(table: Table) -> Answer:
    found = outcomes(table.rows)
    axes = [AXES[outcome] for outcome in found]
    fit, programming = agreed({fit for fit, _ in axes}), agreed({programming for _, programming in axes})
    return Answer(fit, programming, cause(table) if fit == "unknown" else None)


def cause(table: Table) -> str:
    """Why nobody can tell: the strongest of the causes that a relevant fact carries."""
    if not table.rows:
        return "contradiction"
    models = {row.facts["unit.model"] for row in table.rows}
    if all(not table.rules.family(model).get("covered", True) for model in models):
        return "out_of_scope"
    relevant = relevant_facts(table)
    if relevant & table.contradicted:
        return "contradiction"
    unreadable = {"unit.model", "unit.serial"} if table.said.unit.no_layout else set()
    return "unknown_layout" if relevant & unreadable else "worlds_differ"


def changing(rows: list[Row], facts: tuple[str, ...]) -> bool:
    """Whether fixing these facts, as they are in one of the worlds, changes the set of outcomes."""
    every = outcomes(rows)
    settings = {tuple(map(row.facts.get, facts)) for row in rows}
    return any(outcomes(fixed_all(rows, facts, setting)) != every for setting in settings)


def fixed_all(rows: Iterable[Row], facts: tuple[str, ...], values: tuple[str | None, ...]) -> list[Row]:
    left = list(rows)
    for fact, value in zip(facts, values, strict=True):
        if value is not None:
            left = fixed(left, fact, value)
    return left


def smallest_changing(rows: list[Row], facts: Iterable[str]) -> list[tuple[str, ...]]:
    """The smallest sets of these facts that can change the outcomes when they are fixed; all of one size."""
    names = sorted(facts)
    for size in range(1, len(names) + 1):
        found = [each for each in combinations(names, size) if changing(rows, each)]
        if found:
            return found
    return []


def relevant_facts(table: Table) -> set[str]:
    """The open facts that can change the set of outcomes, alone or with the fewest others."""
    return {fact for each in smallest_changing(table.rows, table.open) for fact in each}


def findable(table: Table) -> set[str]:
    """The facts that can be found out at the bench: all that are open and not under contradiction."""
    return table.open - table.contradicted


def worth_asking(table: Table) -> bool:
    """Whether finding out all that can be found could change the outcomes."""
    return changing(table.rows, tuple(sorted(findable(table))))


def walks(rows: list[Row], facts: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Each open fact with each value that it has in some world."""
    for fact in sorted(facts):
        yield from ((fact, value) for value in sorted({row.facts[fact] for row in rows if fact in row.facts}))


def against_no_assumption(rows: Iterable[Row], fact: str, value: str) -> bool:
    """Whether a value is one of those that the fact may have in every unit that comes into question.

    An assumption depends on the unit's model and cell ("bound to this model", "the part listed for it"), so
    a stated fact may be against it in one unit and not in another.
    """
    units: dict[tuple[str, ...], set[str]] = {}
    for row in rows:
        unit = tuple(row.facts[each] for each in UNIT_FACTS)
        units.setdefault(unit, set()).add(row.facts.get(fact, value))
    return fact in UNIT_FACTS or all(value in values for values in units.values())
