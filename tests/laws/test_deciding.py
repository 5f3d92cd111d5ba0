"""A rule decides at a place if, and only if, in some world it is the first to fail, and fails there.

Of a refusal all deciding reasons are failures; of an answer that is open the service tells needs beside them.
"""

from __future__ import annotations

import pytest

from tests.laws import cases, compare


def disagreements(seed: int, count: int, most: int) -> list[str]:
    found = []
    refused = 0
    for question in cases.questions(seed, count, most=most):
        answer = compare.asked_of_engine(question.asked)
        told = {(rule, place) for rule, place, _ in answer["deciding"]}
        failing = {each for row in question.table.rows for each in row.verdict.deciding}
        refused += answer["fit"] == "no"
        if told != failing if answer["fit"] == "no" else not failing <= told:
            found.append(f"{compare.shown(question.asked)}\nservice: {told}\nworlds: {failing}")
    assert refused >= count // 10
    return found


@pytest.mark.parametrize("seed", range(3000, 3002))
def test_what_decides_is_what_fails_first_in_some_world(seed: int) -> None:
    assert disagreements(seed, 40, 600) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(3010, 3050))
def test_what_decides_is_what_fails_first_in_some_world_deep(seed: int) -> None:
    assert disagreements(seed, 100, cases.MOST_WORLDS) == []
