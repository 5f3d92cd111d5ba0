"""How many errors each check system lets pass: exact counts over all, or over fixed, bodies.

Counts first made with python-stdnum and the npm packages cdigit and @konfirm/iso7064; the theory is
that of ISO/IEC 7064, of Verhoeff (1969) and of Damm (2004), all from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from random import Random

import pytest

from service.domain.serials.check import ALPHANUMERIC, DIGITS, SYSTEMS, CheckSystem

FOUR_DIGITS = [f"{number:04d}" for number in range(10_000)]
_SEEDED = Random(1)
EIGHT_CHARACTERS = ["".join(_SEEDED.choice(ALPHANUMERIC) for _ in range(8)) for _ in range(300)]


def alphabets(system: CheckSystem, body: str) -> list[str]:
    """What can stand at each place of body and check; bodies of digits stay digits."""
    return [DIGITS if body.isdigit() else system.body] * len(body) + [system.check] * system.length


def substitutions(word: str, allowed: list[str]) -> Iterator[str]:
    for place, character in enumerate(word):
        for other in allowed[place].replace(character, ""):
            yield word[:place] + other + word[place + 1 :]


def transpositions(word: str, allowed: list[str]) -> Iterator[tuple[str, str]]:
    """Each pair of unequal neighbours that can stand the other way round, with the text so changed."""
    for place, (left, right) in enumerate(pairwise(word)):
        if left != right and right in allowed[place] and left in allowed[place + 1]:
            yield left + right, word[:place] + right + left + word[place + 2 :]


def holds(system: CheckSystem, word: str) -> bool:
    return system.holds(word[: -system.length], word[-system.length :])


def words(system: CheckSystem, bodies: list[str]) -> Iterator[tuple[str, list[str]]]:
    return ((body + system.compute(body), alphabets(system, body)) for body in bodies)


SUBSTITUTIONS = [
    ("luhn", FOUR_DIGITS, 450_000),
    ("gs1-mod-10", FOUR_DIGITS, 450_000),
    ("verhoeff", FOUR_DIGITS, 450_000),
    ("damm", FOUR_DIGITS, 450_000),
    ("iso-7064-mod-11-2", FOUR_DIGITS, 460_000),
    ("iso-7064-mod-97-10", FOUR_DIGITS, 540_000),
    ("iso-7064-mod-11-10", FOUR_DIGITS, 450_000),
    ("iso-7064-mod-37-2", EIGHT_CHARACTERS, 94_800),
    ("iso-7064-mod-37-36", EIGHT_CHARACTERS, 94_500),
]
"""System, bodies, and how many single substitutions all of them have."""
PART = 10
"""The plain suite tries every tenth body, in an order that a fixed seed has shuffled."""


def undetected(name: str, bodies: list[str]) -> tuple[int, int]:
    """How many single substitutions were tried, and how many passed."""
    system = SYSTEMS[name]
    changed = [text for word, allowed in words(system, bodies) for text in substitutions(word, allowed)]
    return len(changed), sum(holds(system, text) for text in changed)


@pytest.mark.parametrize(("name", "bodies", "tried"), SUBSTITUTIONS, ids=[case[0] for case in SUBSTITUTIONS])
def test_no_single_wrong_character_passes(name: str, bodies: list[str], tried: int) -> None:
    part = Random(1).sample(bodies, len(bodies) // PART)
    assert undetected(name, part) == (tried // PART, 0)


@pytest.mark.deep
@pytest.mark.parametrize(("name", "bodies", "tried"), SUBSTITUTIONS, ids=[case[0] for case in SUBSTITUTIONS])
def test_no_single_wrong_character_of_any_body_passes(name: str, bodies: list[str], tried: int) -> None:
    assert undetected(name, bodies) == (tried, 0)


DIFFERING_BY_5 = {f"{left}{(left + 5) % 10}" for left in range(10)}


@pytest.mark.parametrize(
    ("name", "bodies", "tried", "undetected", "pairs"),
    [
        ("luhn", FOUR_DIGITS, 36_000, 800, {"09", "90"}),
        ("gs1-mod-10", FOUR_DIGITS, 36_000, 4_000, DIFFERING_BY_5),
        ("verhoeff", FOUR_DIGITS, 36_000, 0, set()),
        ("damm", FOUR_DIGITS, 36_000, 0, set()),
        ("iso-7064-mod-11-2", FOUR_DIGITS, 35_182, 0, set()),
        ("iso-7064-mod-97-10", FOUR_DIGITS, 45_175, 0, set()),
        ("iso-7064-mod-11-10", FOUR_DIGITS, 36_000, 800, None),
        ("iso-7064-mod-37-2", EIGHT_CHARACTERS, 2_322, 0, set()),
        ("iso-7064-mod-37-36", EIGHT_CHARACTERS, 2_327, 1, None),
    ],
)
def test_exactly_these_swaps_of_neighbours_pass(
    name: str, bodies: list[str], tried: int, undetected: int, pairs: set[str] | None
) -> None:
    system = SYSTEMS[name]
    swapped = [swap for word, allowed in words(system, bodies) for swap in transpositions(word, allowed)]
    passed = [pair for pair, text in swapped if holds(system, text)]
    assert (len(swapped), len(passed)) == (tried, undetected)
    assert pairs is None or set(passed) == pairs
