"""The cases speak of every decision, ground and condition, and of both ways of telling a price."""

from __future__ import annotations

from collections import Counter

from service.domain.sale.asking import ASKING
from service.domain.sale.conditions import CONDITIONS
from service.domain.sale.refusing import REFUSING
from service.words.sale_texts import MEANINGS
from tests.sale.case_files import answered, cases
from tests.sale.told import facts

RARE = {"too_much_open", "programming_possible"}
"""What no question of a till brings about in these catalogues: held by tests of their own."""


def expected(name: str) -> Counter[str]:
    return Counter(code for case in cases() for code in case.expect.get(name, ()))


def test_there_are_many() -> None:
    assert len(cases()) >= 80
    assert len({case.says for case in cases()}) == len(cases())
    assert Counter(case.expect["decision"] for case in cases()).keys() == {
        "sell",
        "sell_with_conditions",
        "ask_first",
        "do_not_sell",
    }


def test_every_ground_and_condition_is_expected_by_a_case() -> None:
    spoken_of = expected("grounds").keys() | expected("conditions").keys()
    assert MEANINGS.keys() - spoken_of == RARE
    assert len(REFUSING) + len(ASKING) + len(CONDITIONS) <= len(MEANINGS)


def test_every_case_says_why() -> None:
    """A case without its grounds or conditions would pass for a wrong reason."""
    for case in cases():
        sells = case.expect["decision"].startswith("sell")
        assert ("conditions" if sells else "grounds") in case.expect, case.name


def test_facts_are_those_that_the_cases_name() -> None:
    named = {name for case in cases() for name in case.expect.get("facts", ())}
    told = {name for case in cases() for name in facts(answered(case))}  # type: ignore[arg-type] # none is impossible
    assert named <= told
