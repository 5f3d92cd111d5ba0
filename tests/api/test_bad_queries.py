"""Query strings, paths and headers that are refused: with the parameter that is wrong and how to mend it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from flask.testing import FlaskClient

from service.demo import serials as s
from tests.api.bad import Bad, cases, get

GETS = {
    "/v1/fit": "part=MN-4100&model=wren-4",
    f"/v1/units/{s.CUSTOMER_WREN_8}": "",
    f"/v1/units/{s.CUSTOMER_WREN_8}/parts": "",
    f"/v1/boards/{s.USED_MAIN_60}": "",
    "/v1/parts": "",
    "/v1/parts/MN-4100": "",
    "/v1/models": "",
    "/v1/models/wren-4": "",
    "/healthz": "",
    "/readyz": "",
}
"""Every address that is read, with a query that is right."""


def everywhere() -> Iterator[Bad]:
    """What no address takes."""
    for path, right in GETS.items():
        start = f"{path}?{right}{'&' if right else ''}"
        yield get(f"{start}no_such=1", "no_such", "not a known name")
        yield get(f"{start}a=%FF", "a", "not UTF-8", status=400, code="malformed_query")
        yield get(f"{start}a=%ED%A0%80", "a", "not UTF-8", status=400, code="malformed_query")
        yield get(f"{start}a=%00", "a", "control character", status=400, code="malformed_query")
        yield get(f"{start}a=5%", "a", "write %25", status=400, code="malformed_query")
        yield get(f"{start}%FF=1", "", "not UTF-8", status=400, code="malformed_query")
        yield get(f"{start}a=1&a=1", "a", "stands twice: give it once", status=400, code="malformed_query")


TEXTS = [
    ("", "is empty: leave it out"),
    ("%20%20", "visible character"),
    ("x" * 65, "longer than 64"),
]
TEXT_PARAMETERS = {
    "/v1/fit": ("board", "unit", "model", "part", "role", "place", "bound_model", "market"),
    f"/v1/units/{s.CUSTOMER_WREN_8}/parts": ("role",),
    "/v1/parts": ("model", "market", "role", "number"),
    "/v1/models": ("family", "market"),
}


def texts() -> Iterator[Bad]:
    """Every text parameter with what no text may be."""
    for path, parameters in TEXT_PARAMETERS.items():
        for parameter in parameters:
            base = "role=main&" if path == "/v1/fit" and parameter != "role" else ""
            for value, mend in TEXTS:
                yield get(f"{path}?{base}{parameter}={value}", parameter, mend)


PAGES = [
    get(f"/v1/{what}?page_size={value}", "page_size", "whole number from 1 to 100")
    for what in ("parts", "models")
    for value in (
        "0",
        "101",
        "-1",
        "1.0",
        "1_0",
        "%201",
        "%2B1",
        "1e1",
        "0x10",
        "ten",
        "",
        "٣",
        "9" * 5000,
        "1%20",
    )
]
CURSORS = [
    get(f"/v1/{what}?cursor={value}", "cursor", "take next_cursor unchanged", status=400, code="bad_cursor")
    for what in ("parts", "models")
    for value in (
        "x",
        "W10",
        "bnVsbA",
        "WzFd",
        "WyJhIl0",
        "%C3%A4",
        "WyJhYmNkZWYwMTIzNDUiLCJ3cmVuLTQiXQ",
        "=",
        "e30",
    )
]
FIT = "/v1/fit?part=MN-4100&model=wren-4"
FITS = [
    get("/v1/fit", "board", "name the board by its serial, or give part or role"),
    get(f"/v1/fit?unit={s.CUSTOMER_WREN_8}", "board", "name the board"),
    get(f"{FIT}&binding=maybe", "binding", "use one of blank, bound, used"),
    get(f"{FIT}&binding=blnak", "binding", "did you mean blank"),
    get(f"{FIT}&binding=BLANK", "binding", "did you mean blank"),
    get(f"{FIT}&binding=bound", "bound_model", "without its model"),
    get(f"{FIT}&binding=blank&bound_model=wren-4", "bound_model", "leave one of them out"),
    get(f"{FIT}&binding=used&bound_model=wren-4", "bound_model", "leave one of them out"),
    get(f"{FIT}&bound_model=wren", "bound_model", "did you mean wren-"),
    get(f"{FIT}&assume=all", "assume", "use one of nothing, usual"),
    get(f"{FIT}&means=phone", "means", "use one of bench, counter, customer"),
    get(f"{FIT}&market=mainlad", "market", "did you mean mainland"),
    get(f"{FIT}&made_on=2024-02-30", "made_on", "a day that exists"),
    get(f"{FIT}&made_on=yesterday", "made_on", "a day that exists"),
    get(f"{FIT}&as_of=2024-01-01", "as_of", "a moment with its offset"),
    get(f"{FIT}&as_of=2024-01-01T00:00:00+02:00", "as_of", "as %2B"),
    get(f"{FIT}&as_of=2999-01-01T00:00:00Z", "as_of", "in the future"),
    get(f"{FIT}&as_of=1999-01-01T00:00:00Z", "as_of", "no catalogue was published then"),
    get(f"{FIT}&role=panel", "role", "not for the role"),
    get(f"{FIT}&place=left", "place", "one place, leave this out"),
    get("/v1/fit?part=MN-410&model=wren-4", "part", "did you mean MN-4100"),
    get("/v1/fit?part=MN-4100&model=wren-5", "model", "did you mean wren-"),
    get("/v1/fit?role=mian", "role", "did you mean main"),
    get("/v1/fit?role=bumper&place=top", "place", "use one of left, right"),
    get("/v1/fit?role=main&Unit=x", "Unit", "did you mean unit"),
    get("/v1/fit?role=main&serial=x", "serial", "not a known name"),
]
UNIT_PARTS = f"/v1/units/{s.CUSTOMER_PLOVER_40}/parts"
LOOK_UPS = [
    get("/v1/parts?model=plover", "model", "did you mean plover-"),
    get("/v1/parts?role=mian", "role", "did you mean main"),
    get("/v1/parts?market=mars", "market", "use one of isles, mainland"),
    get("/v1/parts?function=tilt", "function", "no board carries"),
    get("/v1/parts?function=tilt%20sensin", "function", "did you mean tilt"),
    get("/v1/parts?function=,", "function", "give one to 16 functions"),
    get("/v1/parts?function=" + "keypad," * 17, "function", "give one to 16 functions"),
    get("/v1/parts?function=" + "x" * 401, "function", "longer than 400"),
    get("/v1/parts?modle=wren-4", "modle", "did you mean model"),
    get("/v1/parts?" + "x" * 5000 + "=1", "x" * 300, "not a known name"),
    get("/v1/models?family=wrn", "family", "did you mean wren"),
    get("/v1/models?market=main", "market", "did you mean mainland|use one of"),
    get(f"{UNIT_PARTS}?role=mian", "role", "did you mean main"),
    get(f"{UNIT_PARTS}?function=flying", "function", "no board carries"),
    get(f"{UNIT_PARTS}?page_size=5", "page_size", "not a known name"),
]
PATHS = [
    *(
        get(f"/v1/{what}/{value}", name, mend)
        for what, name in (
            ("units", "serial"),
            ("boards", "serial"),
            ("parts", "number"),
            ("models", "model"),
        )
        for value, mend in (
            ("%20", "visible character"),
            ("a%00b", "control character"),
            ("x" * 65, "longer than 64"),
        )
    ),
    *(
        Bad(
            name=f"bytes {raw!r} at {what}",
            status=400,
            code="bad_request",
            at=None,
            mend="percent-encode the text as UTF-8",
            path=f"/v1/{what}/x",
            method="GET",
            # The test client would mend the bytes itself, so they are put where a server puts them.
            sent={"environ_overrides": {"PATH_INFO": f"/v1/{what}/{raw}"}},
        )
        for what in ("units", "boards", "parts", "models")
        for raw in ("\xff", "\xc0\xaf", "\xed\xa0\x80")
    ),
    get("/v1/units/nothing", None, "read the plate again", status=404, code="unknown_unit"),
    get("/v1/units/%EF%BF%BD", None, "read the plate again", status=404, code="unknown_unit"),
    get("/v1/units/nothing/parts", None, "read the plate again", status=404, code="unknown_unit"),
    get("/v1/boards/nothing", None, "read the label again", status=404, code="unknown_board"),
    get("/v1/parts/MN-9999", None, "no part", status=404, code="unknown_part"),
    get("/v1/parts/MN-410", None, "did you mean MN-4100", status=404, code="unknown_part"),
    get("/v1/models/wren-9", None, "did you mean wren-", status=404, code="unknown_model"),
    get("/v1/units/Ω≈ç√", None, "read the plate again", status=404, code="unknown_unit"),
]
ACCEPTS = [
    Bad(
        name=f"{path} {accept}",
        status=406,
        code="not_acceptable",
        at="Accept",
        mend="application/json or text/plain",
        path=path,
        method="GET",
        sent={"headers": {"Accept": accept}},
    )
    for path in ("/v1/parts", "/v1/models/wren-4", "/healthz")
    for accept in ("image/png", "text/html", "application/xml;q=0.9", "application/json;q=0", "*/*;q=0")
]


@pytest.mark.parametrize(
    "bad", cases([*everywhere(), *texts(), *PAGES, *CURSORS, *FITS, *LOOK_UPS, *PATHS, *ACCEPTS])
)
def test_it_is_refused_with_its_place_and_mend(client: FlaskClient, bad: Bad) -> None:
    bad.check(client)


@pytest.mark.parametrize(("path", "query"), GETS.items())
def test_the_address_is_right_without_the_fault(client: FlaskClient, path: str, query: str) -> None:
    assert client.get(f"{path}?{query}").status_code == 200


def test_a_cursor_of_another_filter_is_refused(client: FlaskClient) -> None:
    cursor = client.get("/v1/parts?page_size=1").get_json()["next_cursor"]
    assert client.get(f"/v1/parts?page_size=1&cursor={cursor}").status_code == 200
    assert client.get(f"/v1/parts?page_size=1&role=main&cursor={cursor}").status_code == 400
    assert client.get(f"/v1/models?page_size=1&cursor={cursor}").status_code == 400
