"""With nothing unknown, the service says what three independent judges say: axes, rule and places."""

from __future__ import annotations

import pytest

from tests.laws import cases, compare
from tests.oracles.clingo_oracle import ClingoOracle
from tests.oracles.plain_rules import PlainRules
from tests.oracles.plain_serials import break_keys
from tests.oracles.sqlite_oracle import SqliteOracle


def disagreements(seed: int, count: int) -> list[str]:
    document, worlds = cases.worlds(seed, count)
    asked = cases.written(seed, document, worlds)
    keys = break_keys(document)
    plain = PlainRules(document, keys)
    judges = [SqliteOracle(document, keys).judge(worlds), ClingoOracle(document, keys).judge(worlds)]
    found = []
    for each, *verdicts in zip(asked, map(plain.judge, worlds), *judges, strict=True):
        answer = compare.of_engine(compare.asked_of_engine(each))
        wanted = [compare.of_verdict(verdict) for verdict in verdicts]
        if any(answer != one for one in wanted):
            found.append(f"catalogue {seed}: {compare.shown(each)}\nservice: {answer}\noracles: {wanted}")
    return found


@pytest.mark.parametrize("seed", range(4))
def test_the_service_agrees_with_every_oracle(seed: int) -> None:
    assert disagreements(seed, 800) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(100, 150))
def test_the_service_agrees_with_every_oracle_deep(seed: int) -> None:
    assert disagreements(seed, 1000) == []
