"""What is asked back is worth knowing, and a chain of questions comes to its end.

A question is asked only about a fact that is open and not under contradiction; none is asked only where no
set of findable facts can change the outcomes; and whatever is answered, the chain ends within the number
of facts that were open at its start. Asked with the means of the bench, where all can be found out.
"""

from __future__ import annotations

from random import Random

import pytest

from tests.laws import cases, compare
from tests.laws.learning import one_more
from tests.oracles.answers import findable, relevant_facts, worth_asking
from tests.oracles.brute_force import Table


def at_the_bench(question: cases.Question) -> dict[str, object]:
    question.asked.question["means"] = "bench"
    return compare.asked_of_engine(question.asked)


def fault(question: cases.Question, ask: object) -> str | None:
    """What is wrong with asking this of the question, or None."""
    table = question.table
    if ask is None:
        return (
            "asks nothing, and finding out what can be found would change it" if worth_asking(table) else None
        )
    if ask not in findable(table) and ask not in names_model(table):
        return f"asks {ask}, which is not to be found out"
    everything = relevant_facts(table)
    if "unit.model" in everything:
        everything |= names_model(table)
    if everything & findable(table) and ask not in everything:
        return f"asks {ask}, and only {sorted(everything)} matter"
    return None


def names_model(table: Table) -> set[str]:
    """A plate's serial says the model as well, so it is worth asking for where the model is."""
    return {"unit.serial"} if "unit.model" in table.open and table.said.unit.key is None else set()


def faults_of_chain(rng: Random, question: cases.Question) -> list[str]:
    """Walk one chain of questions; each answer is as in one of the worlds left."""
    bound, steps = len(question.table.open), 0
    while True:
        ask = at_the_bench(question)["ask"]
        wrong = fault(question, ask)
        if wrong is not None:
            return [f"{wrong}: {compare.shown(question.asked)}"]
        more = one_more(rng, question, str(ask)) if ask is not None else None
        if more is None:
            return []
        question, steps = more, steps + 1
        if steps > bound:
            return [f"asked {steps} times with {bound} facts open: {compare.shown(question.asked)}"]


def faults(seed: int, count: int, most: int) -> list[str]:
    rng = Random(seed)
    return [
        each
        for question in cases.questions(seed, count, most=most)
        for each in faults_of_chain(rng, question)
    ]


@pytest.mark.parametrize("seed", range(80, 86))
def test_every_chain_of_questions_ends(seed: int) -> None:
    assert faults(seed, 30, 400) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(3000, 3040))
def test_every_chain_of_questions_ends_deep(seed: int) -> None:
    assert faults(seed, 60, cases.MOST_WORLDS) == []
