"""Learning never overturns: a further fact turns unknown into known on an axis, and does nothing else.

Held for any fact that is open, in any order, with the usual assumptions and without them.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from random import Random

import pytest

from tests.laws import cases, compare
from tests.laws.learning import any_more
from tests.oracles.answers import answer, fixed, outcomes

AXES = ("fit", "programming")


def walks(seed: int, count: int, most: int) -> Iterator[list[tuple[str, cases.Question]]]:
    """Chains of questions, each with one more fact than the one before; the first fact is none."""
    rng = Random(seed)
    for question in cases.questions(seed, count, most=most):
        chain = [("", question)]
        while (more := any_more(rng, chain[-1][1])) is not None:
            chain.append(more)
        if len(chain) > 1:
            yield chain


def flips(chain: list[dict[str, str]]) -> list[str]:
    """Where an axis that was known is another afterwards."""
    return [
        f"{axis} was {before[axis]} and is {after[axis]}"
        for before, after in pairwise(chain)
        for axis in AXES
        if before[axis] not in ("unknown", after[axis])
    ]


@pytest.mark.parametrize("seed", range(3))
def test_stating_a_fact_leaves_no_world_that_was_not_there(seed: int) -> None:
    # This holds brute force itself: what it says of a question with a fact is no more than the worlds
    # with that fact say. Without it the law below would be held against the wrong worlds.
    steps = 0
    for chain in walks(seed, 40, 600):
        for (_, before), (fact, after) in pairwise(chain):
            values = {row.facts[fact] for row in after.table.rows if fact in row.facts}
            assert len(values) <= 1, (fact, values)
            kept = outcomes(fixed(before.table.rows, fact, *values))
            assert outcomes(after.table.rows) <= kept, (fact, compare.shown(after.asked))
            steps += 1
    assert steps >= 30


@pytest.mark.parametrize("seed", range(3))
def test_no_further_fact_overturns_brute_force(seed: int) -> None:
    for chain in walks(seed, 40, 600):
        answers = [answer(question.table) for _, question in chain]
        found = [{"fit": each.fit, "programming": each.programming} for each in answers]
        assert flips(found) == [], [compare.shown(question.asked) for _, question in chain]


def disagreements(seed: int, count: int, most: int) -> list[str]:
    found = []
    for chain in walks(seed, count, most):
        answers = [compare.asked_of_engine(question.asked) for _, question in chain]
        for flip in flips(answers):
            story = [f"{fact}: {compare.shown(question.asked)}" for fact, question in chain]
            found.append("\n".join([flip, *story]))
    return found


@pytest.mark.parametrize("seed", range(50, 54))
def test_no_further_fact_overturns_the_service(seed: int) -> None:
    assert disagreements(seed, 40, 600) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(2000, 2050))
def test_no_further_fact_overturns_the_service_deep(seed: int) -> None:
    assert disagreements(seed, 100, cases.MOST_WORLDS) == []


def test_flips_are_seen() -> None:
    unknown, yes, no = ({"fit": fit, "programming": "unknown"} for fit in ("unknown", "yes", "no"))
    assert flips([unknown, yes, yes]) == []
    assert flips([unknown, yes, no]) == ["fit was yes and is no"]
    assert flips([yes, unknown]) == ["fit was yes and is unknown"]
