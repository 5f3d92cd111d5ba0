"""The till's answer and the sale, as the API shows them: plain JSON values, since they are kept."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from service.api.present.answer import plain_answer
from service.api.present.money import quote_lines
from service.api.present.wording import Wording
from service.api.present.wording import wording as in_words
from service.domain.catalogue.model import Campaign
from service.domain.ledger.event import Event
from service.domain.sale.check import SaleAnswer
from service.domain.sale.ground import Ground
from service.usecases.sale import Check, Kept
from service.words import sale as words
from service.words.language import SOURCE
from service.words.names import Names

TAKEN_OVER = ("clearance", "cautions")
"""What the answer of fit says of the sale too."""
PRINTED = ("quote", "receipt", "returns")


def check(of: Check, language: str) -> dict[str, Any]:
    """The answer, most telling first, in the words of the catalogue that it was made from."""
    answer, found = of.answer, of.answer.found
    wording = in_words(found.compiled.catalogue, language)
    names = wording.names
    fit = plain_answer(found.told, wording)
    return {
        "id": of.id,
        "decision": answer.decision.value,
        "customer_text": words.customer_text(answer, names),
        "staff_text": words.staff_text(answer, names),
        "completable": of.completable,
        "grounds": [_ground(each, answer, wording) for each in answer.grounds],
        "conditions": [_ground(each, answer, wording) for each in answer.conditions],
        "brought": found.question.brought,
        "board": _board(answer),
        **({"market": found.market} if found.market else {}),
        "quote": quote_lines(answer.quote, lambda line: words.line_name(line, answer, names))
        if answer.quote
        else None,
        "receipt": words.receipt_paragraphs(answer, names),
        "returns": words.return_paragraphs(answer, names),
        "warranty": _warranty(answer),
        "campaigns": [_campaign(each, names) for each in found.campaigns],
        **{name: fit[name] for name in TAKEN_OVER},
        "fit": fit,
        "catalogue_revision": found.compiled.catalogue.revision,
        "language": language,
        "made_at": moment(of.made_at),
        **({"as_of": moment(found.question.as_of)} if found.question.as_of else {}),
    }


def kept(of: Kept) -> dict[str, Any]:
    """A kept answer exactly as it was given, and what became of it."""
    return {"language": SOURCE, **of.check.answer, "completed": _completed(of.sale) if of.sale else None}


def receipt(of: Kept) -> dict[str, Any]:
    """The sale, at the price and on the terms that were told."""
    assert of.sale is not None, "a receipt is of a sale"
    told = of.check.answer
    return {
        "check": of.check.id,
        "completed": _completed(of.sale),
        "board": told["board"],
        "language": told.get("language", SOURCE),
        **{name: told[name] for name in PRINTED},
    }


def moment(at: datetime) -> str:
    """A moment as it is written."""
    return at.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _completed(sale: Event) -> dict[str, Any]:
    return {"seq": sale.seq, "recorded_at": moment(sale.recorded_at)}


def _ground(of: Ground, answer: SaleAnswer, wording: Wording) -> dict[str, Any]:
    customer = words.customer_sentence(of, answer, wording.names)
    return {
        "code": of.code,
        "facts": {name: list(values) for name, values in of.facts.items()},
        "text": words.staff_sentence(of, answer, wording.names),
        **({"customer_text": customer} if customer else {}),
    }


def _board(answer: SaleAnswer) -> dict[str, Any]:
    found = answer.found
    shown: dict[str, Any] = {"serial": found.told.case.proposed[0].serial}
    if found.part is not None:
        shown["part"] = found.part.number
    return {**shown, "used": found.used}


def _warranty(answer: SaleAnswer) -> Mapping[str, Any]:
    found = answer.found.warranty
    over = {"over_from": found.over_from.isoformat()} if found.over_from else {}
    return {"state": found.state.value, **over}


def _campaign(of: Campaign, names: Names) -> dict[str, str]:
    return {"id": of.id, "name": names.own(of.name), "text": names.own(of.text)}
