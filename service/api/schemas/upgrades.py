"""The question of upgrades (Q6), as a document and as one flat line, and its answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import fields

from service.api.schemas.answer import CautionOut, Minutes, StepOut
from service.api.schemas.closed import Assume
from service.api.schemas.codes import told
from service.api.schemas.common import a_flag, a_number, a_text, an, some, the_revision
from service.api.schemas.fields import Amounts, Choice, Flag, Group, In, Out, QueryWhole, Text, Whole
from service.api.schemas.question import UnitStatement
from service.api.schemas.sale import QuoteOut, an_amount
from service.domain.terms import Cause, Means, Who
from service.domain.upgrade.upgrading import UpgradeOutcome
from service.words.gain_texts import CLASS_MEANINGS, FIGURE_MEANINGS
from service.words.upgrade_texts import NEED_MEANINGS, OBSTACLE_MEANINGS, WAY_MEANINGS

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
MEANS = Choice(
    Means,
    load_default=Means.COUNTER,
    metadata={"description": "Who asks: a customer is told what is needed and by whom, and no bench steps."},
)


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
    assume = Choice(
        Assume,
        load_default=Assume.USUAL,
        metadata={"description": "What is taken for granted of boards that nobody speaks of."},
    )
    means = MEANS


class WantedOut(Out):
    """One thing that is wanted."""

    capability = a_text("The capability.", longest=64, example="battery_packs")
    name = a_text("Its name.")
    amount = a_number("How much of it.")


class NeedOut(Out):
    """Something that money can't buy."""

    code = a_text(f"Which. More may come. {told(NEED_MEANINGS)}", longest=64, example="dealer_programs")
    text = a_text("The same in words.", longest=400)


class UpgradeChange(Out):
    """A place that is filled anew, or a board that is loaded."""

    role = a_text("The role.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    part = a_text("The part that goes in; absent where the board stays.", longest=64, required=False)
    serial = a_text("The board from stock, where it is one.", longest=64, required=False)
    loaded = a_flag("Whether the newest software is loaded into it.")
    taken_out = a_flag("Whether the board comes out and none goes in.")


class BoughtOut(Out):
    """An accessory that is bought."""

    accessory = a_text("The accessory.", longest=64, example="battery_pack")
    amount = a_number("How many.")


class FigureOut(Out):
    """A figure that the plan changes. Decimals with at most two digits after the point."""

    figure = a_text(f"Which, with its unit. More may come. {told(FIGURE_MEANINGS)}", longest=64)
    before = a_text("As the machine is.", longest=24, example="97.2")
    after = a_text("After the plan.", longest=24, example="194.4")
    more = a_text("The difference; with a minus where it gets less.", longest=24, example="97.2")
    cost_for_each = an_amount(
        "What the plan costs for each watt-hour, or square metre a day, that is gained. Absent for other "
        "figures, where nothing is gained, and without a quote.",
        required=False,
    )


class GainOut(Out):
    """What the plan's packs are good for, by the catalogue's figures."""

    text = a_text("The most telling gain in words.", longest=400)
    figures = some(FigureOut, "What changes. A figure is absent where a number for it is not known.", most=20)


class ShippingOut(Out):
    """How packs that are bought may be shipped by themselves. Check the rules in force."""

    accessory = a_text("The accessory.", longest=64, example="battery_pack")
    amount = a_number("How many.")
    watt_hours = a_text("Of each.", longest=24, example="97.2")
    un_number = a_text("The number that it is declared under.", longest=8, example="UN3480")
    shipping_class = a_text(f"More may come. {told(CLASS_MEANINGS)}", longest=64, example="eased")
    edition = a_text("The rules it was told by.", longest=64, required=False, example="ADR_2025")
    source = a_text("Where they stand, in words.", longest=200, required=False)
    in_force_from = fields.Date(metadata={"description": "From when these rules are in force."})
    text = a_text("The same in words.", longest=600)


class UpgradePlanOut(Out):
    """One way to get there."""

    approach = a_text(f"How. More may come. {told(WAY_MEANINGS)}", longest=64, example="accessory_only")
    model = a_text("The model that the machine is afterwards.", longest=64, example="plover-40")
    text = a_text("The way in words.", longest=600)
    needs_first = some(NeedOut, "What it takes that money can't buy, to be said before any price.", most=20)
    changes = some(UpgradeChange, "The places that change, in the catalogue's order.", most=64)
    accessories = some(BoughtOut, "Accessories that are bought.", most=64)
    who = fields.List(
        Choice(Who), required=True, metadata={"description": "Who works on the machine.", "maxItems": 10}
    )
    minutes = an(Minutes, "Bench minutes in all.")
    lead_days = a_number(
        "Days until everything can be had; absent where that is not known.", required=False, most=10_000
    )
    permanent_steps = a_number("How many steps can't be undone.")
    steps = some(StepOut, "What to do, in order. Empty for a customer.", most=1_000)
    quote = fields.Nested(
        QuoteOut,
        required=True,
        allow_none=True,
        metadata={"description": "What it costs; null where the catalogue has no terms of sale."},
    )
    over_budget = a_flag("Whether it costs more than the budget.")
    gain = fields.Nested(
        GainOut,
        required=True,
        allow_none=True,
        metadata={
            "description": "What its packs are good for; null where it buys none, or nothing is known."
        },
    )
    shipping = some(ShippingOut, "How the packs that it buys may be shipped.", most=64)
    cautions = some(CautionOut, "What to beware of.", most=30)


class TradeUpOut(Out):
    """A new machine instead."""

    model = a_text("The model.", longest=64, example="plover-60")
    price = an_amount("What it costs, with the accessories that are wanted.")
    trade_in = an_amount("What is given for the old machine.")
    to_pay = an_amount(
        "What is left to pay, with the tax; the most, where it depends on the market and that is not known."
    )
    over_budget = a_flag("Whether that is more than the budget.")
    lead_days = a_number("Days until it can be had.", required=False, most=10_000)
    text = a_text("The same in words.", longest=400)


class WorthOut(Out):
    """Whether the best plan is worth it: it is where `cost` is at most `share` of `instead`."""

    worth_it = a_flag("Whether it is.")
    cost = an_amount("What the plan costs, on the price list's terms of tax.")
    instead = an_amount("What trading up costs: the cheapest new machine less the old one's price.")
    share = a_text("The share, from the catalogue.", longest=16, example="0.6")
    gain = fields.String(
        required=True,
        allow_none=True,
        metadata={"description": "What the plan is good for; null where no figure tells.", "maxLength": 400},
    )
    text = a_text("The sum in words.", longest=600)


class ObstacleOut(Out):
    """One of a smallest set of facts that together rule it out."""

    code = a_text(f"Which. More may come. {told(OBSTACLE_MEANINGS)}", longest=64)
    facts = fields.Dict(
        keys=fields.String(metadata={"maxLength": 64}),
        values=fields.String(metadata={"maxLength": 200}),
        required=True,
        metadata={"description": "Its facts by name."},
    )
    text = a_text("The same in words.", longest=600)


class UpgradeCaseOut(Out):
    """What comes of it in one case of the facts that are open."""

    when = fields.Dict(
        keys=fields.String(metadata={"maxLength": 64}),
        values=fields.List(fields.String(metadata={"maxLength": 200}), metadata={"maxItems": 1_000}),
        required=True,
        metadata={"description": "Per open fact its values in this case; empty where all is known."},
    )
    text = a_text("The same in words; empty where all is known.", longest=4_000)
    outcome = Choice(UpgradeOutcome, required=True, metadata={"description": "What comes of it then."})
    summary = a_text("What comes of it then, in words.", longest=4_000)
    plans = some(UpgradePlanOut, "The best plan of each approach, least cost first.", most=20)
    trade_ups = some(TradeUpOut, "New machines that can do it as they are, the cheapest first.", most=500)
    worth = fields.Nested(
        WorthOut,
        required=True,
        allow_none=True,
        metadata={"description": "The sum behind the word on worth; null where there is nothing to compare."},
    )
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
    costs = fields.Nested(
        CostsOut,
        required=True,
        allow_none=True,
        metadata={"description": "What the best plan costs; null where there is none, or no price."},
    )
    cases = some(UpgradeCaseOut, "One for each case of the open facts that makes a difference.", most=100)
    cause = Choice(Cause, metadata={"description": "For `cannot_tell`: why."})
    ask = fields.Nested(
        UpgradeAsk,
        required=True,
        allow_none=True,
        metadata={"description": "What to find out first; null where nothing findable makes a difference."},
    )
    catalogue_revision = the_revision()
