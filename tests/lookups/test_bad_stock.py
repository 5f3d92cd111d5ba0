"""Look-ups in stock that are refused: with the parameter that is wrong and how to mend it."""

from __future__ import annotations

import json
from base64 import urlsafe_b64decode
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.api.edge.paging import sealed
from service.demo import serials as s
from tests.api.bad import Bad, cases, get

CANDIDATES = f"/v1/units/{s.CUSTOMER_PLOVER_40}/candidates"
DESTINATIONS = f"/v1/boards/{s.USED_MAIN_60}/destinations"
UNIT = f"/v1/units/{s.CUSTOMER_PLOVER_40}"
RIGHT = {CANDIDATES: "role=main", DESTINATIONS: "market=mainland", UNIT: "means=bench"}


def made_up(path: str, *key: Any, **filters: str) -> str:
    """A cursor with a right mark and a key of somebody's own."""
    return sealed(key, {"": path, **filters})


def everywhere() -> Iterator[Bad]:
    for path, right in RIGHT.items():
        yield get(f"{path}?{right}&no_such=1", "no_such", "not a known name")
        yield get(f"{path}?{right}&a=%FF", "a", "not UTF-8", status=400, code="malformed_query")
        yield get(
            f"{path}?{right}&{right}",
            right.partition("=")[0],
            "stands twice",
            status=400,
            code="malformed_query",
        )


def sizes() -> Iterator[Bad]:
    for path in (CANDIDATES, DESTINATIONS):
        for value in ("0", "101", "-1", "1.0", "%2B1", "ten", "", "9" * 5000):
            yield get(f"{path}?{RIGHT[path]}&page_size={value}", "page_size", "whole number from 1 to 100")


def cursors() -> Iterator[Bad]:
    of = {"role": "main"}
    bad = [
        *((CANDIDATES, text) for text in ("x", "W10", "bnVsbA", "%C3%A4", "=", "e30")),
        *((DESTINATIONS, text) for text in ("x", "W10", "WyJhIl0")),
        (CANDIDATES, made_up(CANDIDATES, 1, 0, "149.00", **of)),
        (CANDIDATES, made_up(CANDIDATES, 1, 0, 149, "TBM4", **of)),
        (CANDIDATES, made_up(CANDIDATES, True, 0, "149.00", "TBM4", **of)),
        (CANDIDATES, made_up(CANDIDATES, 1, 0, "cheap", "TBM4", **of)),
        (CANDIDATES, made_up(CANDIDATES, 1, 0, "sNaN", "TBM4", **of)),
        (CANDIDATES, made_up(CANDIDATES, 1, 0, "149.00", "TBM\x00", **of)),
        (CANDIDATES, made_up(CANDIDATES, 1, 0, "149.00", "TBM\ud800", **of)),
        (CANDIDATES, made_up(CANDIDATES, 1, 0, "149.00", "TBM4", role="panel")),
        (DESTINATIONS, made_up(DESTINATIONS, "main", "TMPL", market="mainland")),
        (DESTINATIONS, made_up(DESTINATIONS, "main", "TMPL", "")),
    ]
    for path, text in bad:
        target = f"{path}?{RIGHT[path]}&cursor={text}"
        yield get(target, "cursor", "take next_cursor unchanged", status=400, code="bad_cursor")


NAMES = [
    get(CANDIDATES, "role", "is missing"),
    get(f"{CANDIDATES}?role=", "role", "is empty"),
    get(f"{CANDIDATES}?role=mian", "role", "did you mean main"),
    get(f"{CANDIDATES}?role=%00", "role", "control character", status=400, code="malformed_query"),
    get(f"{CANDIDATES}?role=bumper&place=top", "place", "use one of left, right"),
    get(f"{CANDIDATES}?role=main&place=left", "place", "one place, leave this out"),
    get(f"{DESTINATIONS}?market=mars", "market", "use one of isles, mainland"),
    get(f"{DESTINATIONS}?role=main", "role", "not a known name"),
    get(f"{UNIT}?means=phone", "means", "use one of bench, counter, customer"),
    get(
        "/v1/units/nothing/candidates?role=main",
        None,
        "read the plate again",
        status=404,
        code="unknown_unit",
    ),
    get("/v1/boards/nothing/destinations", None, "read the label again", status=404, code="unknown_board"),
    get(f"/v1/units/{'x' * 65}/candidates?role=main", "serial", "longer than 64"),
    get(f"/v1/boards/{'x' * 65}/destinations", "serial", "longer than 64"),
]


@pytest.mark.parametrize("bad", cases([*everywhere(), *sizes(), *cursors(), *NAMES]))
def test_it_is_refused_with_its_place_and_mend(client: FlaskClient, bad: Bad) -> None:
    bad.check(client)


@pytest.mark.parametrize(("path", "query"), RIGHT.items())
def test_the_address_is_right_without_the_fault(client: FlaskClient, path: str, query: str) -> None:
    assert client.get(f"{path}?{query}").status_code == 200


def test_a_huge_number_in_a_cursor_is_past_every_board(client: FlaskClient) -> None:
    """A mark can be made up; what it then asks for is a place in the list like any other."""
    far = made_up(CANDIDATES, 10**30, 0, "149.00", "TBM4", role="main")
    assert client.get(f"{CANDIDATES}?role=main&cursor={far}").get_json()["items"] == []


def test_a_cursor_is_what_it_says_it_is() -> None:
    """The cursors above differ from a right one in nothing but their key."""
    text = made_up(CANDIDATES, 1, 0, "149.00", "TBM4", role="main")
    mark, *key = json.loads(urlsafe_b64decode(text + "=" * (-len(text) % 4)))
    assert (len(mark), key) == (12, [1, 0, "149.00", "TBM4"])
