"""The language of an answer: RFC 4647 lookup over Accept-Language, and never a refusal.

The rows are answers of a public reference library (WebOb), the ranges of RFC 4647 section 3.4 and the
example of RFC 9110 section 12.5.4.
"""

from __future__ import annotations

import pytest

from service.api.edge.languages import lookup

LONG = "zh-Hant-CN-x-private1-private2"
ROWS = [
    (LONG, "en, zh, zh-Hant", "zh-Hant"),
    (LONG, "zh-Hant-CN-x-private1, zh", "zh-Hant-CN-x-private1"),
    (LONG, "zh-Hant-CN-x, en", None),
    (LONG, f"zh, {LONG}", LONG),
    ("da, en-gb;q=0.8, en;q=0.7", "en, da", "da"),
    ("da, en-gb;q=0.8, en;q=0.7", "en, en-GB", "en-GB"),
    ("da, en-gb;q=0.8, en;q=0.7", "fr", None),
    ("de-CH, fr;q=0.5", "fr, de", "de"),
    ("de", "de-DE", None),
    ("*", "en, sv", None),
    ("fr;q=0, *", "fr, en", None),
    ("*;q=0.5, de;q=0", "de, sv", None),
    ("de;q=0.1, sv;q=0.9", "de, sv", "sv"),
    ("EN-gb", "en-GB", "en-GB"),
    ("en-GB", "EN", "EN"),
    ("de-CH, de;q=0", "de, sv", None),
    ("", "de", None),
]
ILL_FORMED = ["en;q=1.5", "en;q=0.1234", "en_US", "de, en;q=1.5", "de, fr_FR", "de;v=1", "de;q=", "d\u00e9"]
OFFERS = ("en", "de", "fr", "sv")


def offered(listed: str) -> tuple[str, ...]:
    return tuple(listed.split(", "))


@pytest.mark.parametrize(("accepted", "listed", "answer"), ROWS)
def test_the_lookup_is_that_of_the_standard(accepted: str, listed: str, answer: str | None) -> None:
    assert lookup(accepted, offered(listed), "default") == (answer or "default")


@pytest.mark.parametrize("accepted", [*ILL_FORMED, "de," * 1_000])
def test_a_header_that_is_not_well_formed_says_nothing(accepted: str) -> None:
    assert lookup(accepted, OFFERS, "en") == "en"
