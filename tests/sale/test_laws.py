"""Laws of the decision, over the demo's boards and machines with whatever somebody says of them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from functools import cache
from random import Random

import pytest

from service.domain.facts.question import NOTHING_STATED, StatedBoard, StatedUnit, Statement
from service.domain.facts.records import Hold, Records
from service.domain.facts.sources import Sources
from service.domain.sale.check import Decision, SaleAnswer, check_sale
from service.domain.sale.judging import as_put
from service.domain.sale.question import NO_UNIT, Asked, SaleQuestion
from service.domain.sale.situation import Circumstances
from service.domain.terms import Condition, Fit, MarketId, ModelId, Programming, Serial
from service.words.sale import customer_text
from tests.trade.shops import Shop, shop

QUESTIONS = 200
DAYS = (date(2026, 1, 5), date(2028, 1, 5))
CAREFUL = [Decision.SELL, Decision.SELL_WITH_CONDITIONS, Decision.ASK_FIRST, Decision.DO_NOT_SELL]
"""From the boldest to the most careful."""
SETTLED_BY_ASKING = {"warranty_open", "warranty_unknown", "campaign_open"}
HOLDS = ("reported_stolen", "recalled", "locked_to_owner", "owed_to_maker", "under_query")
NO_MORE = "Something has to be cleared up on our side first, and we are sorry for the wait."


class Given:
    """Questions of all kinds, the same ones every time."""

    def __init__(self, seed: int) -> None:
        self._random = Random(seed)
        states = demo().states
        self._boards = sorted(states.boards)
        self._units = sorted(states.units)
        self._models = sorted(demo().compiled.models)

    def question(self) -> SaleQuestion:
        draw = self._random
        return SaleQuestion(
            board=StatedBoard(serial=draw.choice(self._boards), claimed=self._claim()),
            unit=self._machine(),
            market=draw.choice([None, MarketId("mainland"), MarketId("mainland"), MarketId("isles")]),
            asked=draw.choice([frozenset(), frozenset(Asked)]),
        )

    def day(self) -> date:
        return self._random.choice(DAYS)

    def _machine(self) -> StatedUnit:
        """Half of them named, a quarter by their model only, a quarter not at all."""
        named = StatedUnit(serial=self._random.choice(self._units))
        by_model = StatedUnit(model=ModelId(self._random.choice(self._models)))
        return self._random.choice([named, named, by_model, NO_UNIT])

    def _claim(self) -> Statement:
        model = self._random.choice(self._models)
        return self._random.choice(
            [
                NOTHING_STATED,
                Statement(binding="bound", bound_model=ModelId(model)),
                Statement(binding="blank"),
                Statement(condition="usable"),
                Statement(condition="maybe_exposed"),
                Statement(holds=self._random.choice(self._units)),
            ]
        )


@cache
def demo() -> Shop:
    return shop("demo")


def decided(question: SaleQuestion, day: date, records: Records | None = None) -> SaleAnswer:
    found = records or demo().records(as_put(question))
    sources = Sources(compiled=demo().compiled, records=found, looked_up=True)
    return check_sale(sources, question, Circumstances(day=day, was_out=False))


@cache
def asked() -> tuple[tuple[SaleQuestion, SaleAnswer], ...]:
    given = Given(2026)
    questions = [(given.question(), given.day()) for _ in range(QUESTIONS)]
    return tuple((question, decided(question, day)) for question, day in questions)


def test_the_questions_bring_about_every_decision() -> None:
    counts = Counter(answer.decision for _, answer in asked())
    assert set(counts) == set(Decision)
    assert counts[Decision.SELL_WITH_CONDITIONS] >= 30
    assert len({each.code for _, answer in asked() for each in (*answer.grounds, *answer.conditions)}) >= 20


def test_no_claim_makes_a_sale_bolder() -> None:
    """What somebody says of a board may ask for more care, and never for less."""
    differing = 0
    for question, answer in asked():
        plain = replace(question, board=question.board._replace(claimed=NOTHING_STATED))
        without = decided(plain, answer.found.circumstances.day)
        assert CAREFUL.index(answer.decision) >= CAREFUL.index(without.decision), question
        if answer.decision is without.decision:
            assert [each.code for each in without.conditions] == [each.code for each in answer.conditions]
        differing += answer.decision is not without.decision
    assert differing >= 5


def test_having_asked_settles_nothing_else() -> None:
    for question, answer in asked():
        day = answer.found.circumstances.day
        before, after = (
            decided(replace(question, asked=each), day) for each in (frozenset(), frozenset(Asked))
        )
        assert CAREFUL.index(after.decision) <= CAREFUL.index(before.decision)
        open_ones = {each.code for each in before.grounds} - {
            "warranty_open",
            "warranty_unknown",
            "campaign_open",
        }
        if before.decision is Decision.ASK_FIRST and open_ones:
            assert {each.code for each in after.grounds} == open_ones


def test_what_is_sold_is_ours_and_sound() -> None:
    for question, answer in asked():
        if not answer.sells:
            continue
        record = demo().records(as_put(question)).boards[Serial(question.board.serial or "")]
        assert record.in_custody
        assert not record.sold
        assert record.in_unit is None
        assert not record.holds
        assert not record.donor_held
        assert not record.binding.contradiction
        assert record.conditions == {Condition.USABLE}
        assert answer.quote is not None


def test_it_is_simply_sold_only_where_nothing_is_assumed() -> None:
    sold = [answer for _, answer in asked() if answer.decision is Decision.SELL]
    assert sold
    for answer in sold:
        for judgement in answer.found.judged:
            assert (judgement.unassumed.fit, judgement.unassumed.programming) == (Fit.YES, Programming.NONE)


def test_there_are_grounds_or_conditions_or_it_is_simply_sold() -> None:
    for _, answer in asked():
        assert bool(answer.grounds) is not answer.sells
        assert bool(answer.conditions) is (answer.decision is Decision.SELL_WITH_CONDITIONS)
        assert (answer.quote is None) or answer.decision is not Decision.DO_NOT_SELL


@pytest.mark.parametrize(
    "kind", ["reported_stolen", "recalled", "locked_to_owner", "owed_to_maker", "under_query"]
)
def test_a_hold_stops_every_sale_and_no_customer_hears_of_it(kind: str) -> None:
    for question, answer in asked()[:100]:
        records = demo().records(as_put(question))
        serial = Serial(question.board.serial or "")
        board = records.boards[serial]._replace(holds=(Hold(kind=kind, since=1),))
        held = replace(records, boards={**records.boards, serial: board})
        stopped = decided(question, answer.found.circumstances.day, held)
        assert stopped.decision is Decision.DO_NOT_SELL
        said = customer_text(stopped, demo().names)
        assert said.endswith(
            "Something has to be cleared up on our side first, and we are sorry for the wait."
        )
        assert stopped.quote is None
