"""The question of upgrades (Q6), as a document and as one flat line, and its answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import fields

from service.api.schemas.codes import told
from service.api.schemas.common import (
    a_flag,
    a_number,
    a_text,
    a_text_by_name,
    an,
    an_or_null,
    some,
    texts_by_name,
    the_revision,
)
from service.api.schemas.fields import Amounts, Choice, Flag, Group, In, Out, QueryWhole, Text, Whole
from service.api.schemas.question import UnitStatement, an_assumption, some_means
from service.api.schemas.sale import an_amount
from service.api.schemas.upgrade_plans import TradeUpOut, UpgradePlanOut, WorthOut
from service.domain.terms import Cause, Who
from service.domain.upgrade.upgrading import UpgradeOutcome
from service.words.upgrade_texts import OBSTACLE_MEANINGS

MOST_WANTED = 8
MOST = 1_000_000
CAPABILITY = "A capability, by its id in the catalogue: see GET /v1/models/{model}."
DONE_BY = Choice(
    Who,
    load_default=Who.MAKER,
    metadata={
        "description": "Who may work on the machine: `owner` nobody but the owner, `dealer` the maker not, "
        "`maker` everybody."
    },
)
BUDGET = Text(
    longest=16,
    metadata={"description": "What may be spent, tax included, a decimal.", "example": "500.00"},
)
MEANS = some_means("Who asks: a customer is told what is needed and by whom, and no bench steps.")


class UpgradeQuery(In):
    """The same question in one line, for one capability."""

    unit = Text(metadata={"description": "The serial on the machine's plate. Give it, or `model`."})
    model = Text(metadata={"description": "The machine's model.", "example": "plover-40"})
    want = Text(required=True, metadata={"description": CAPABILITY, "example": "battery_packs"})
    amount = QueryWhole(
        least=1,
        most=MOST,
        load_default=1,
        metadata={"description": "How much of it; 1 for what is there or not.", "example": 2},
    )
    market = Text(metadata={"description": "Where the machine is used.", "example": "mainland"})
    done_by = DONE_BY
    budget = BUDGET
    means = MEANS

    def faults(self, data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        if not data.keys() & {"unit", "model"}:
            yield "unit", "is missing: give it, or the model"


class UpgradeQuestion(In):
    """Whether this machine can do more, and what it would take."""

    unit = Group(UnitStatement, required=True, metadata={"description": "The machine, as far as known."})
    wanted = Amounts(
        least=1,
        most=MOST_WANTED,
        keys=Text(metadata={"description": CAPABILITY}),
        values=Whole(least=1, most=MOST),
        required=True,
        metadata={
            "description": "What it is to do, with how much of it; 1 for what is there or not.",
            "example": {"battery_packs": 2},
        },
    )
    from_stock = Flag(
        load_default=True,
        metadata={"description": "Whether boards in stock may be used, besides new ones."},
    )
    done_by = DONE_BY
    budget = BUDGET
    assume = an_assumption("What is taken for granted of boards that nobody speaks of.")
    means = MEANS


class WantedOut(Out):
    """One thing that is wanted."""

    capability = a_text("The capability.", longest=64, example="battery_packs")
    name = a_text("Its name.")
    amount = a_number("How much of it.")


class ObstacleOut(Out):
    """One of a smallest set of facts that together rule it out."""

    code = a_text(f"Which. More may come. {told(OBSTACLE_MEANINGS)}", longest=64)
    facts = a_text_by_name("Its facts by name.")
    text = a_text("The same in words.", longest=600)


class UpgradeCaseOut(Out):
    """What comes of it in one case of the facts that are open."""

    when = texts_by_name("Per open fact its values in this case; empty where all is known.", most=1_000)
    text = a_text("The same in words; empty where all is known.", longest=4_000)
    outcome = Choice(UpgradeOutcome, required=True, metadata={"description": "What comes of it then."})
    summary = a_text("What comes of it then, in words.", longest=4_000)
    plans = some(UpgradePlanOut, "The best plan of each approach, least cost first.", most=20)
    trade_ups = some(TradeUpOut, "New machines that can do it as they are, the cheapest first.", most=500)
    worth = an_or_null(WorthOut, "The sum behind the word on worth; null where there is nothing to compare.")
    reasons = some(ObstacleOut, "For `not_possible`: a smallest set of facts that rules it out.", most=100)


class CostsOut(Out):
    """What the best plan costs over all cases, tax included."""

    least = an_amount("At least.")
    most = an_amount("At most.")
    currency = a_text("ISO 4217.", longest=3, example="EUR")


class UpgradeUnit(Out):
    """The machine."""

    serial = a_text("Its serial, compacted.", longest=64, required=False)
    recorded = a_flag("Whether anything is recorded of it.")
    in_service = fields.Boolean(
        metadata={"description": "Whether it is in service, as recorded; absent where nothing is recorded."}
    )
    models = fields.List(
        fields.String(metadata={"maxLength": 64}),
        required=True,
        metadata={"description": "The models it may be.", "maxItems": 10_000},
    )


class UpgradeAsk(Out):
    """What to find out first."""

    fact = a_text("The fact.", longest=100, example="unit.model")
    question = a_text("The question.", longest=400)


class UpgradeAnswer(Out):
    """The answer."""

    outcome = Choice(UpgradeOutcome, required=True, metadata={"description": "The answer."})
    summary = a_text("The answer in words that can be read to a customer.", longest=4_000)
    unit = an(UpgradeUnit, "The machine.")
    wanted = some(WantedOut, "What is wanted.", most=MOST_WANTED)
    costs = an_or_null(CostsOut, "What the best plan costs; null where there is none, or no price.")
    cases = some(UpgradeCaseOut, "One for each case of the open facts that makes a difference.", most=100)
    cause = Choice(Cause, metadata={"description": "For `cannot_tell`: why."})
    ask = an_or_null(UpgradeAsk, "What to find out first; null where nothing findable makes a difference.")
    catalogue_revision = the_revision()
