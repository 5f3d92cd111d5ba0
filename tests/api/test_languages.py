"""The language of an answer: RFC 4647 lookup over Accept-Language, and never a refusal.

The rows are answers of a public reference library (WebOb), the ranges of RFC 4647 section 3.4 and the
example of RFC 9110 section 12.5.4.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from service.api.edge.languages import lookup
from service.demo import serials as s

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


PAGES = [
    "/v1/models",
    "/v1/models/plover-40",
    "/v1/parts?function=tilt+sensing",
    "/v1/parts?function=lift+sensing,rain+sensing",
    "/v1/parts/MN-4100",
    f"/v1/units/{s.CUSTOMER_PLOVER_40}",
    f"/v1/units/{s.CUSTOMER_PLOVER_40}/parts",
    f"/v1/units/{s.CUSTOMER_PLOVER_40}/history",
    f"/v1/units/{s.CUSTOMER_PLOVER_40}/candidates?role=main",
    f"/v1/boards/{s.BLANK_MAIN}",
    f"/v1/boards/{s.BLANK_MAIN}/history",
    f"/v1/boards/{s.BLANK_MAIN}/destinations",
    "/v1/events?page_size=20",
    f"/v1/fit?unit={s.CUSTOMER_PLOVER_40}&part=MN-4100&bound_model=plover-60",
    "/v1/upgrades?model=plover-40&want=battery_packs&amount=2",
]
"""One of each kind of page. What people said in the ledger (reasons, evidence) is theirs, and stays."""

ENGLISH = re.compile(r"\b(the|and|is|of|with|your|which|has|have|been|not|its|it|board|boards|must|may)\b")
OWN_WORDS = re.compile(r"„[^“]*“|«[^»]*»|”[^”]*”|\[[^\]]*\]|[a-z0-9]+(?:[_-][a-z0-9]+)+")
"""Quoted names, what a person wrote down, and ids."""


def in_language(client: FlaskClient, page: str, code: str, accept: str) -> TestResponse:
    return client.get(page, headers={"Accept-Language": code, "Accept": accept})


@pytest.mark.parametrize("code", OFFERS)
@pytest.mark.parametrize("page", PAGES)
def test_an_answer_says_its_language_and_has_a_tag_of_its_own(
    client: FlaskClient, page: str, code: str
) -> None:
    for accept in ("application/json", "text/plain"):
        found = in_language(client, page, f"{code}-XX, da;q=0.5", accept)
        assert found.status_code == 200, found.get_data(as_text=True)
        assert found.headers["Content-Language"] == code
        assert found.headers["Vary"] == "Accept, Accept-Language"
        others = [in_language(client, page, other, accept) for other in OFFERS if other != code]
        assert found.headers["ETag"] not in {each.headers["ETag"] for each in others}
        asked = {"Accept-Language": code, "Accept": accept, "If-None-Match": found.headers["ETag"]}
        assert client.get(page, headers=asked).status_code == 304
        assert client.get(page, headers={**asked, "Accept-Language": "da"}).status_code == (
            304 if code == "en" else 200
        )


@pytest.mark.parametrize("code", OFFERS[1:])
@pytest.mark.parametrize("page", PAGES)
def test_a_page_holds_no_english(client: FlaskClient, page: str, code: str) -> None:
    text = in_language(client, page, code, "text/plain").get_data(as_text=True)
    assert len(text) > 40
    lines = [line for line in text.splitlines() if ENGLISH.search(OWN_WORDS.sub("", line))]
    assert lines == []


@pytest.mark.parametrize("code", OFFERS[1:])
@pytest.mark.parametrize("page", PAGES)
def test_what_people_read_in_json_is_not_english(client: FlaskClient, page: str, code: str) -> None:
    found = in_language(client, page, code, "application/json").get_json()
    assert [text for text in read_by_people(found) if ENGLISH.search(OWN_WORDS.sub("", text))] == []


def read_by_people(value: Any, name: str = "") -> Iterator[str]:
    """The texts of an answer: members that hold sentences or names."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from read_by_people(inner, key)
    elif isinstance(value, list):
        for inner in value:
            yield from read_by_people(inner, name)
    elif isinstance(value, str) and name in TOLD:
        yield value


TOLD = {"summary", "text", "name", "role_name", "question", "how", "where", "recognise", "cable", "why"}


@pytest.mark.parametrize("code", OFFERS)
def test_problems_are_for_programmers_and_stay_english(client: FlaskClient, code: str) -> None:
    found = in_language(client, "/v1/models/none", code, "application/json")
    assert found.status_code == 404
    assert found.headers["Content-Language"] == "en"
    assert found.get_json()["detail"].startswith('no model "none": use one of')
