"""One way to do more with a machine: what it takes, what it is good for, and what a new machine costs."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.answer import CautionOut, Minutes, StepOut
from service.api.schemas.codes import told
from service.api.schemas.common import a_flag, a_number, a_text, an, an_or_null, some
from service.api.schemas.fields import Choice, Out
from service.api.schemas.sale import QuoteOut, an_amount
from service.domain.terms import Who
from service.words.gain_texts import CLASS_MEANINGS, FIGURE_MEANINGS
from service.words.upgrade_texts import NEED_MEANINGS, WAY_MEANINGS


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
    quote = an_or_null(QuoteOut, "What it costs; null where the catalogue has no terms of sale.")
    over_budget = a_flag("Whether it costs more than the budget.")
    gain = an_or_null(GainOut, "What its packs are good for; null where it buys none, or nothing is known.")
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
