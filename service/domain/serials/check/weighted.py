"""Check digits from a weighted sum: Luhn, GS1, VIN, ISBN-10 and ISSN, ISO 6346."""

from __future__ import annotations

from service.domain.serials.check.system import DIGITS, LETTERS, CheckSystem

_MOD_11 = DIGITS + "X"
_DOUBLED = (0, 2, 4, 6, 8, 1, 3, 5, 7, 9)
"""The digit sum of twice a digit."""

# 49 CFR 565.15(c), tables III and IV; I, O and Q never stand in a VIN.
_VIN_CHARACTERS = DIGITS + "ABCDEFGHJKLMNPRSTUVWXYZ"
_VIN_VALUES = dict(
    zip(_VIN_CHARACTERS, map(int, "0123456789" + "12345678" + "12345" + "7" + "9" + "23456789"), strict=True)
)
_VIN_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 9, 8, 7, 6, 5, 4, 3, 2)

# ISO 6346: A is 10, and the multiples of 11 are left out (from memory).
_CONTAINER_LETTERS = tuple(value for value in range(10, 39) if value % 11)
_CONTAINER_VALUES = dict(zip(DIGITS + LETTERS, (*range(10), *_CONTAINER_LETTERS), strict=True))


def luhn(body: str) -> str:
    """The Luhn check digit of a text of digits: ISO/IEC 7812-1 annex B (from memory).

    >>> luhn("7992739871")
    '3'
    """
    total = sum(map(int, body[-2::-2])) + sum(_DOUBLED[int(digit)] for digit in body[::-2])
    return str(-total % 10)


def gs1(body: str) -> str:
    """The GS1 check digit: weights 3, 1, 3 … from the right. GS1 General Specifications.

    >>> gs1("629104150021")
    '3'
    """
    total = 3 * sum(map(int, body[::-2])) + sum(map(int, body[-2::-2]))
    return str(-total % 10)


def vin(body: str) -> str:
    """The check digit, which stands ninth, of the other 16 characters. 49 CFR 565.15(c).

    >>> vin("1G4AH59H5G118341")
    '4'
    """
    total = sum(_VIN_VALUES[character] * weight for character, weight in zip(body, _VIN_WEIGHTS, strict=True))
    return _MOD_11[total % 11]


def mod_11(body: str) -> str:
    """The check character of ISBN-10 and ISSN: weights 2, 3, 4 … from the right.

    Source: ISO 2108 and ISO 3297 (from memory).

    >>> mod_11("030640615"), mod_11("2434561")
    ('2', 'X')
    """
    total = sum(int(digit) * weight for weight, digit in enumerate(reversed(body), 2))
    return _MOD_11[-total % 11]


def iso_6346(body: str) -> str:
    """The check digit of a freight container number: weights 1, 2, 4, 8 … from the left.

    A remainder of 10 is written 0. Source: ISO 6346 (from memory).

    >>> iso_6346("CSQU305438")
    '3'
    """
    total = sum(_CONTAINER_VALUES[character] << place for place, character in enumerate(body))
    return str(total % 11 % 10)


SYSTEMS = (
    CheckSystem(name="luhn", body=DIGITS, check=DIGITS, compute=luhn),
    CheckSystem(name="gs1-mod-10", body=DIGITS, check=DIGITS, compute=gs1),
    CheckSystem(name="vin", body=_VIN_CHARACTERS, check=_MOD_11, compute=vin, least=16, most=16),
    # A tenth digit of the body would get the weight 11, and no error in it would show.
    CheckSystem(name="mod-11", body=DIGITS, check=_MOD_11, compute=mod_11, most=9),
    CheckSystem(name="iso-6346", body=DIGITS + LETTERS, check=DIGITS, compute=iso_6346, least=10, most=10),
)
