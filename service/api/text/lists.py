"""Titled lists, and what an answer says besides its outcome."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from service.domain.quote.quoting import Prices
from service.words import page_texts as texts
from service.words.amount_texts import TAX, TAX_WITHIN, TO_PAY
from service.words.amounts import money, number
from service.words.caution_texts import SIGNALS
from service.words.language import Language
from service.words.step_texts import WHO

Shown = Mapping[str, Any]


def about(of: Shown, said: Language) -> Iterator[str]:
    """What an answer says besides its outcome: what to do, what is open, what was assumed."""
    say = said.say
    yield from section(say(texts.TO_DO), (_step(each, said) for each in of["programming"]["steps"]), said)
    if of["programming"]["minutes"]:
        yield "  " + say(texts.MINUTES, **_ends(of["programming"]["minutes"]))
    if of["ask"]:
        yield from section(say(texts.TO_FIND_OUT), [of["ask"]["question"], of["ask"]["how"]], said)
    held = [say(texts.HOLDERS[name]) for name, word in of["clearance"].items() if word == "held"]
    yield from section(say(texts.HELD_TITLE), (say(texts.HELD_ONE, what=each) for each in held), said)
    yield from cautions(say(texts.CAUTIONS), of["cautions"], said)


def section(title: str, lines: Iterable[str], said: Language) -> Iterator[str]:
    """A titled list; nothing where the list is empty."""
    shown = [f"  {line}" for line in lines]
    if shown:
        yield from ("", said.titled(title), *shown)


def cautions(title: str, of: Iterable[Shown], said: Language) -> Iterator[str]:
    """Cautions, each behind its signal word."""
    yield from section(title, (caution(each, said) for each in of), said)


def caution(of: Shown, said: Language) -> str:
    """A caution behind its signal word."""
    return said.labelled(said.say(SIGNALS[of["signal"]]), of["text"])


def span(of: Mapping[str, int], said: Language) -> str:
    """Minutes, least and most."""
    return said.say(texts.SPAN, **_ends(of))


def amounts(quote: Shown, said: Language) -> Iterator[str]:
    """A quote's lines, the tax and what it comes to, with the amounts under each other."""
    rate = number(Decimal(quote["tax"]["rate"]), said)
    rows = [(line["text"], line["amount"]) for line in quote["lines"]]
    text = TAX_WITHIN if quote["tax"]["prices"] == Prices.INCLUDED else TAX
    rows.append((said.say(text, rate=rate), quote["tax"]["amount"]))
    rows.append((said.say(TO_PAY, currency=quote["currency"]), quote["to_pay"]))
    told = [(text, number(Decimal(amount), said)) for text, amount in rows]
    width = max(len(amount) for _, amount in told)
    yield from (f"{amount:>{width}}  {text}" for text, amount in told)


def price(of: Shown, said: Language) -> str:
    """What a thing costs."""
    return money(Decimal(of["amount"]), of["currency"], said)


def page(lines: Iterable[str], of: Shown, said: Language) -> str:
    """The lines, where the next page begins, and the catalogue that all was told from."""
    cursor = of.get("next_cursor")
    more = ["", said.say(texts.MORE, cursor=cursor)] if cursor else []
    return "\n".join([*lines, *more, "", catalogue(of, said)]) + "\n"


def catalogue(of: Shown, said: Language) -> str:
    """Which revision of the catalogue all was told from."""
    return said.say(texts.CATALOGUE, revision=of["catalogue_revision"])


def _ends(of: Mapping[str, int]) -> dict[str, str]:
    return {"least": str(of["least"]), "most": str(of["most"])}


def _step(of: Shown, said: Language) -> str:
    told = [said.say(WHO[of["who"]]), span(of["minutes"], said)]
    if not of["undoable"]:
        told.append(said.say(texts.UNDONE_NEVER))
    if "when" in of:
        told.append(_when(of["when"], said))
    return f"{of['text']} ({', '.join(told)})"


def _when(of: Shown, said: Language) -> str:
    if of["values"]:
        return said.say(texts.IF, fact=of["fact"], values=said.either(of["values"]))
    return said.say(texts.DEPENDING, fact=of["fact"])
