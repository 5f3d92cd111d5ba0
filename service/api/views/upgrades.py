"""Whether this machine can do more, what it would take, and whether it is worth it (Q6, Q13)."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from service.api.asking import stated_unit
from service.api.blueprint import Routes
from service.api.edge.reply import Reply
from service.api.present import upgrades as present
from service.api.present.wording import wording
from service.api.problems import in_body, in_parameter
from service.api.problems.impossible import impossible
from service.api.problems.problem import invalid
from service.api.schemas import upgrades as schemas
from service.api.schemas.closed import Assume
from service.api.seeing.metrics import UPGRADE
from service.api.seeing.seen import seen
from service.api.text import upgrades as text
from service.domain.facts.question import ImpossibleQuestion, StatedUnit
from service.domain.quote.money import is_amount
from service.usecases.caller import Caller
from service.usecases.mending import Fault, Refused
from service.usecases.shop import Shop
from service.usecases.upgrades import UpgradeQuestion, upgrade

AMOUNT = re.compile(r"[0-9]{1,9}(\.[0-9]{1,4})?")

blp = Routes(
    "upgrades", __name__, description="Can this machine do more, what would it take, is it worth it?"
)


@blp.operation("/v1/upgrades", name="check_upgrade", answer=schemas.UpgradeAnswer, query=schemas.UpgradeQuery)
def check_upgrade(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """Tell whether this machine can do more, what it takes, and whether it is worth it: one line.

    Use it for one wish of an owner ("can mine have a second battery pack?"). For several wishes, a
    budget, or what is known of the machine's boards, use POST /v1/upgrade-plans.
    """
    unit = StatedUnit(serial=query.get("unit"), model=query.get("model"), market=query.get("market"))
    asked = UpgradeQuestion(
        unit=unit,
        wanted={query["want"]: query["amount"]},
        done_by=query["done_by"],
        budget=_budget(shop, query.get("budget"), flat=True),
        means=query["means"],
    )
    return _reply(shop, caller, asked, flat=True)


@blp.operation(
    "/v1/upgrade-plans",
    name="plan_upgrade",
    answer=schemas.UpgradeAnswer,
    body=schemas.UpgradeQuestion,
)
def plan_upgrade(shop: Shop, caller: Caller, query: dict[str, Any], body: dict[str, Any]) -> Reply:
    """Plan an upgrade: the best plan of each approach, least cost first, or why there is none.

    Nothing is stored. The plans are the cheapest there are, by the catalogue's prices and the stock.
    """
    asked = UpgradeQuestion(
        unit=stated_unit(body["unit"]),
        wanted=body["wanted"],
        from_stock=body["from_stock"],
        done_by=body["done_by"],
        budget=_budget(shop, body.get("budget"), flat=False),
        means=body["means"],
        assume=body["assume"] is Assume.USUAL,
    )
    return _reply(shop, caller, asked, flat=False)


def _reply(shop: Shop, caller: Caller, asked: UpgradeQuestion, *, flat: bool) -> Reply:
    try:
        found = upgrade(shop, caller, asked)
    except ImpossibleQuestion as fault:
        raise impossible(fault, shop.catalogue(), flat=flat) from None
    except Refused as fault:
        raise (Refused([Fault(("want",), each.detail) for each in fault.faults]) if flat else fault) from None
    seen().answered(UPGRADE, found.answer.outcome, found.answer.cause, found.answer.ask)
    words = wording(found.compiled.catalogue, caller.language)
    data = present.upgrade(found, words)
    reply = Reply.of_content if flat else Reply.of_moment
    return reply(data, lambda: text.upgrade(data, words.names.language))


def _budget(shop: Shop, sent: str | None, *, flat: bool) -> Decimal | None:
    """Raises `Problem` for what is no amount of the catalogue's currency."""
    if sent is None:
        return None
    currency = shop.catalogue().catalogue.currency
    amount = Decimal(sent) if AMOUNT.fullmatch(sent) else None
    if amount is None or not is_amount(amount, currency):
        detail = f'must be an amount of {currency}, written as "500.00"'
        raise invalid([in_parameter("budget", detail) if flat else in_body(("budget",), detail)])
    return amount
