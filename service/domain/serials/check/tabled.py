"""Check digits from a table of a group or quasigroup: Verhoeff and Damm.

Both catch every single wrong digit and every swap of two neighbours. Sources: J. Verhoeff, "Error
Detecting Decimal Codes", 1969; H. M. Damm, "Total anti-symmetrische Quasigruppen", 2004 (both
from memory).
"""

from __future__ import annotations

from service.domain.serials.check.system import DIGITS, CheckSystem


def _dihedral(left: int, right: int) -> int:
    """The product in the group of the pentagon: 0 to 4 are its turns, 5 to 9 its reflections."""
    turned = left + right if left < 5 else left - right
    return turned % 5 + (0 if (left < 5) == (right < 5) else 5)


def _permutations() -> tuple[tuple[int, ...], ...]:
    """Verhoeff's permutation applied 0, 1 … 7 times; the eighth time gives the digits back."""
    once = (1, 5, 7, 6, 2, 8, 3, 0, 9, 4)
    powers = [tuple(range(10))]
    while len(powers) < 8:
        powers.append(tuple(once[digit] for digit in powers[-1]))
    return tuple(powers)


_PRODUCT = tuple(tuple(_dihedral(left, right) for right in range(10)) for left in range(10))
_PERMUTED = _permutations()
_INVERSE = tuple(row.index(0) for row in _PRODUCT)
_DAMM = tuple(
    tuple(map(int, row))
    for row in (
        "0317598642",
        "7092154863",
        "4206871359",
        "1750983426",
        "6123045978",
        "3674209581",
        "5869720134",
        "8945362017",
        "9438617205",
        "2581436790",
    )
)


def verhoeff(body: str) -> str:
    """Verhoeff's check digit.

    >>> verhoeff("236")
    '3'
    """
    state = 0
    for place, digit in enumerate(reversed(body), 1):
        state = _PRODUCT[state][_PERMUTED[place % 8][int(digit)]]
    return str(_INVERSE[state])


def damm(body: str) -> str:
    """Damm's check digit.

    >>> damm("572")
    '4'
    """
    state = 0
    for digit in body:
        state = _DAMM[state][int(digit)]
    return str(state)


SYSTEMS = (
    CheckSystem(name="verhoeff", body=DIGITS, check=DIGITS, compute=verhoeff),
    CheckSystem(name="damm", body=DIGITS, check=DIGITS, compute=damm),
)
