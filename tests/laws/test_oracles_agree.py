"""Judges that share nothing but the world they look at say the same of it.

The rules of fit are the project's own, so there is no published answer to hold them against. Three
restatements are held against each other instead: SQLite's logic, a logic program solved by clingo, and
plain functions. With nothing unknown, brute force has one world, and it is the one that was meant.
"""

from __future__ import annotations

from collections import Counter

import pytest

from tests.laws import cases
from tests.oracles.brute_force import Table
from tests.oracles.clingo_oracle import ClingoOracle
from tests.oracles.plain_rules import PlainRules
from tests.oracles.plain_serials import break_keys
from tests.oracles.sqlite_oracle import SqliteOracle

POLICIES = {
    "another_serial": ("refused", "allowed"),
    "blank_follower_binds": ("by_programming", "at_power_on"),
    "matched_pair_moved": ("introduce_again", "nothing"),
    "enter_serial": ("when_in_service", "always"),
}


def disagreements(seed: int, count: int) -> list[str]:
    document, worlds = cases.worlds(seed, count)
    keys = break_keys(document)
    plain = PlainRules(document, keys)
    by_sql, by_program = (oracle(document, keys).judge(worlds) for oracle in (SqliteOracle, ClingoOracle))
    verdicts = zip(worlds, map(plain.judge, worlds), by_sql, by_program, strict=True)
    return [
        f"{world}\n{one}\n{two}\n{three}" for world, one, two, three in verdicts if not one == two == three
    ]


@pytest.mark.parametrize("seed", range(4))
def test_three_judges_agree(seed: int) -> None:
    assert disagreements(seed, 1000) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(100, 150))
def test_three_judges_agree_deep(seed: int) -> None:
    assert disagreements(seed, 1000) == []


@pytest.mark.parametrize("seed", range(4))
def test_a_world_stated_in_full_is_the_only_world(seed: int) -> None:
    document, worlds = cases.worlds(seed, 200)
    plain = PlainRules(document, break_keys(document))
    for world, asked in zip(worlds, cases.written(seed, document, worlds), strict=True):
        table = Table(document, asked.question, asked.records, most=1)
        assert [row.verdict for row in table.rows] == [plain.judge(world)], asked
        assert table.open == set(), asked


@pytest.mark.parametrize("policy", POLICIES)
def test_every_policy_changes_some_verdicts(policy: str) -> None:
    changed = Counter[str]()
    for seed in range(8):
        document, worlds = cases.worlds(seed, 300)
        keys = break_keys(document)
        one, other = (SqliteOracle(with_policy(document, policy, at), keys).judge(worlds) for at in (0, 1))
        changed.update(before.outcome for before, after in zip(one, other, strict=True) if before != after)
    assert changed.total() >= 10, changed


def with_policy(document: cases.Document, policy: str, at: int) -> cases.Document:
    families = {
        name: {**family, policy: POLICIES[policy][at]} if family.get("covered", True) else family
        for name, family in document["families"].items()
    }
    return {**document, "families": families}
