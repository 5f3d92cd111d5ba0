"""Numbers, money and days as a language writes them. JSON keeps decimal strings and ISO 8601.

What differs between languages are three texts of their catalogues: a sample number, from which its marks are
read off, the order of an amount and its currency (told by its ISO 4217 code), and the order of a day.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from functools import cache

from service.words.amount_texts import AMOUNT, DAY, SAMPLE
from service.words.language import Language

MARKS = re.compile(r"1(?P<group>\D)234(?P<decimal>\D)56")
ISO_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def number(figure: Decimal | int, said: Language) -> str:
    """A number with the digits that it has, in groups of three."""
    group, decimal = _marks(said)
    return f"{Decimal(figure):,f}".translate({ord(","): group, ord("."): decimal})


def money(amount: Decimal, currency: str, said: Language) -> str:
    """An amount with its currency; the space between the two does not break."""
    return said.say(AMOUNT, amount=number(amount, said), currency=currency)


def day(text: str, said: Language) -> str:
    """A day that is told as ISO 8601 has it; any other text stays, as a serial that looks like one."""
    try:
        told = date.fromisoformat(text if ISO_DAY.fullmatch(text) else "")
    except ValueError:
        return text
    return said.say(DAY, year=f"{told.year:04}", month=f"{told.month:02}", day=f"{told.day:02}")


@cache
def _marks(said: Language) -> tuple[str, str]:
    found = MARKS.search(said.say(SAMPLE))
    assert found is not None, f"the sample number of {said.code} shows no marks"
    return found["group"], found["decimal"]
