"""Events that cannot be meant: a 422 with the pointer and the mend, and nothing is recorded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.demo import serials as s
from service.domain.ledger.fields import MAX_ITEMS, Field, FieldTable, FieldType
from service.domain.ledger.kinds import KINDS
from tests.api.bad import Bad, cases
from tests.api.problem_shape import places, problem_of
from tests.api.test_bad_questions import CHOICE, DAY, FLAG, LIST, MOMENT, OBJECT, TEXT, each
from tests.api.writing import last_number, send, told

WHOLE = each((None, -1, 2**31, 1.5, "1", True, [], {}, 10**90), "whole number from 0|may not be null")
LONG_TEXT = [(value, mend) for value, mend in TEXT if value != "x" * 65] + each(
    ("x" * 501,), "longer than 500"
)
EMPTY_ALLOWED = [case for case in TEXT if case[0] != ""]
WRONG: dict[FieldType, list[tuple[Any, str]]] = {
    FieldType.BOARD: TEXT,
    FieldType.UNIT: TEXT,
    FieldType.SERIAL: EMPTY_ALLOWED,
    FieldType.NAME: TEXT,
    FieldType.TEXT: LONG_TEXT,
    FieldType.CHOICE: [*CHOICE, ("x", "is not known")],
    FieldType.WHOLE: WHOLE,
    FieldType.FLAG: FLAG,
    FieldType.DAY: DAY,
    FieldType.BLOCK: OBJECT,
    FieldType.LIST: LIST,
}

Path = tuple[str | int, ...]


def bad(body: Any, at: str | None, mend: str, *, status: int = 422, code: str = "invalid_request") -> Bad:
    return Bad(
        name=f"{at} {body}"[-90:].encode("ascii", "replace").decode(),
        status=status,
        code=code,
        at=at,
        mend=mend,
        path="/v1/events",
        sent={"json": body, "headers": {"Idempotency-Key": "bad-input-tests"}},
    )


def one(event: Any, at: str, mend: str) -> Bad:
    """A fault in the only event of a job; `at` from that event on."""
    return bad({"events": [event]}, f"#/events/0{at}", mend)


def fields(table: FieldTable, path: Path = ()) -> Iterator[tuple[Path, Field]]:
    """The fields of an event's data that clients send, those inside of objects too."""
    for name, field in table.items():
        if name != "policy":
            yield (*path, name), field
            inside = (*path, name, 0) if field.type is FieldType.LIST else (*path, name)
            yield from fields(field.of or {}, inside)


def wrong_values() -> Iterator[Bad]:
    """Every field once, with every kind of wrong value."""
    done: set[Path] = set()
    for kind, row in KINDS.items():
        for path, field in fields(row.fields):
            if path not in done:
                done.add(path)
                for value, mend in WRONG[field.type]:
                    data = nested(path, value)
                    yield one({"kind": kind, "data": data}, "/data/" + "/".join(map(str, path)), mend)


def nested(path: Path, value: Any) -> Any:
    for step in reversed(path):
        value = [value] if isinstance(step, int) else {step: value}
    return value


U, B = s.CUSTOMER_PLOVER_40, s.BLANK_MAIN
TESTED = told("tested", board=B, passed=True)
FITTED = told("fitted", unit=U, board=B)
FORMS = [
    *(
        one(told("tested", board=B, passed=True) | {"occurred_at": value}, "/occurred_at", mend)
        for value, mend in MOMENT
    ),
    *(one({"kind": "tested", "data": value}, "/data", mend) for value, mend in OBJECT),
    *(one(value, "", mend) for value, mend in OBJECT),
    one({"data": {}}, "/kind", "is missing: say what happened"),
    one({"kind": "tested"}, "/data", "is missing"),
    one({"kind": 5, "data": {}}, "/kind", "is not known"),
    one({"kind": "testd", "data": {}}, "/kind", "did you mean tested"),
    one({"kind": "Tested", "data": {}}, "/kind", "did you mean tested"),
    one({"kind": "", "data": {}}, "/kind", "is not known"),
    one({**FITTED, "seq": 1}, "/seq", "not a known name"),
    one({**FITTED, "recorded_at": "2026-01-01T00:00:00Z"}, "/recorded_at", "did you mean occurred_at"),
    one(told("fitted", unit=U, bord=B), "/data/bord", "did you mean board"),
    one(told("fitted", unit=U), "/data/board", "is missing"),
    one(told("fitted", board=B), "/data/unit", "is missing"),
    one(told("fitted", unit=U, board=B, policy="names"), "/data/policy", "not a known name"),
    one(told("tested", board=B), "/data/passed", "is missing"),
    one(told("exposed", board=B, to="wine"), "/data/to", "use one of fire, lightning, water"),
    one(
        told("registered", unit=U, boards=[{"board": B, "holds": 5}]),
        "/data/boards/0/holds",
        "text in quotes",
    ),
    one(told("registered", unit=U, boards=[{"board": B}] * (MAX_ITEMS + 1)), "/data/boards", "0 to 64 items"),
    bad({}, "#/events", "is missing"),
    bad({"events": None}, "#/events", "may not be null"),
    bad({"events": FITTED}, "#/events", "list in brackets"),
    bad({"events": []}, "#/events", "1 to 64 items"),
    bad({"events": [FITTED] * 65}, "#/events", "1 to 64 items"),
    bad({"events": [FITTED], "expect": []}, "#/expect", "did you mean expected"),
    bad({"events": [FITTED], "expected": {}}, "#/expected", "list in brackets"),
    bad({"events": [FITTED], "expected": [{}]}, "#/expected/0/version", "is missing"),
    bad({"events": [FITTED], "expected": [{"version": 1}]}, "#/expected/0/board", "a board or a unit"),
    bad(
        {"events": [FITTED], "expected": [{"board": B, "unit": U, "version": 1}]},
        "#/expected/0/board",
        "not both",
    ),
    bad({"events": [FITTED], "expected": [{"board": B, "version": -1}]}, "#/expected/0/version", "from 0"),
    bad(
        {"events": [FITTED], "expected": [{"board": B, "version": 1}, {"board": B.lower(), "version": 2}]},
        "#/expected/1/board",
        "named twice",
    ),
    *(bad(value, "#", "object in braces") for value in ([], [FITTED], 1, "x", True)),
]
"""Wrong in form."""

MEANINGS = [
    one({**FITTED, "occurred_at": "2999-01-01T00:00:00Z"}, "/occurred_at", "lies in the future"),
    one(
        told("tested", board="TBM4124382004X", passed=True),
        "/data/board",
        "read character 14 of the label again",
    ),
    one(
        told("tested", board="TBM4124382040F", passed=True),
        "/data/board",
        r"read character \d+( or \d+)* of the label",
    ),
    one(told("fitted", unit="TMPL23140032X", board=B), "/data/unit", "of the plate again"),
    one(told("tested", board=U, passed=True), "/data/board", "is the plate serial of a unit"),
    one(told("dismantled", unit=B), "/data/unit", "is the serial of a board"),
    one(told("tested", board="-- . --", passed=True), "/data/board", "no letter or digit"),
    one(told("received", board=B, part="MN-410"), "/data/part", "did you mean MN-4100"),
    one(told("received", board=B, part="zzz"), "/data/part", "see /v1/parts"),
    one(
        told("received", board=B, binding="bound", bound_model="plover-41"),
        "/data/bound_model",
        "did you mean plover-40",
    ),
    one(told("received", board=B, release="9.9"), "/data/release", "the board has no release"),
    one(told("received", board=B, binding="bound"), "/data/bound_model", "is missing"),
    one(
        told("received", board=B, binding="blank", bound_model="plover-40"),
        "/data/bound_model",
        "does not go with",
    ),
    one(told("received", board=B, binding="blank", holds=U), "/data/holds", "does not go with"),
    one(
        told("received", board=B, binding="bound", bound_model="plover-40", holds="TMPL23140032X"),
        "/data/holds",
        "plate again",
    ),
    one(told("fitted", unit=U, board=B, role="mian"), "/data/role", "did you mean main"),
    one(told("fitted", unit=U, board=B, role="panel", part="MN-4100"), "/data/role", "is for the role main"),
    one(told("fitted", unit=U, board=B, model="plover 4O"), "/data/model", "did you mean plover-40"),
    one(told("fitted", unit=U, board=B, place="left"), "/data/place", "has one place: leave this out"),
    one(told("fitted", unit=U, board=s.UNMARKED_BUMPER), "/data/place", "give one of left, right"),
    one(
        told("fitted", unit=U, board=s.UNMARKED_BUMPER, place="lft"),
        "/data/place",
        "did you mean left|use one of left, right",
    ),
    one(told("fitted", unit=U, board="ZZ-99"), "/data/role", "neither label nor record tells it"),
    one(told("removed", unit=U), "/data/role", "neither label nor record tells it"),
    one(told("registered", unit=U, market="moon"), "/data/market", "use one of isles, mainland"),
    one(told("registered"), "/data", "a board or a unit, and not both"),
    one(told("registered", board=B, unit=U), "/data", "a board or a unit, and not both"),
    one(told("registered", board=B, model="plover-40"), "/data/unit", "is missing"),
    one(
        told("registered", unit=U, boards=[{"board": B}, {"board": B}]), "/data/boards/1", "does not go with"
    ),
    one(
        told("accessory_fitted", unit=U, accessory="battery_pak", amount=1),
        "/data/accessory",
        "did you mean battery_pack",
    ),
    one(told("step_finished", step="enter_serial", board=B), "/data/unit", "is missing"),
    one(
        told("step_finished", step="introduce", unit=U, board=s.BLANK_PANEL_24), "/data/naming", "is missing"
    ),
    one(
        told("step_finished", step="enter_serial", unit=U, board=B, naming={"board": B}),
        "/data/naming",
        "go with",
    ),
    one(told("read_out", board=B, introduced=True), "/data/role", "is missing"),
    one(told("converted", unit=U, into=U, model="plover-60"), "/data/into", "does not go with"),
    bad(
        {"events": [FITTED, told("tested", board="TBM4124382004X", passed=True)]},
        "#/events/1/data/board",
        "label again",
    ),
]
"""Right in form, and without a meaning in the catalogue in force."""


@pytest.mark.parametrize("wrong", cases([*wrong_values(), *FORMS, *MEANINGS]))
def test_it_is_refused_with_its_place_and_mend(client: FlaskClient, wrong: Bad) -> None:
    wrong.check(client)


def test_nothing_of_all_that_was_recorded(client: FlaskClient) -> None:
    last = last_number(client)
    for wrong in (*FORMS, *MEANINGS):
        wrong.check(client)
    assert last_number(client) == last


def test_the_faults_of_all_events_are_told_at_once(client: FlaskClient) -> None:
    events = [told("fitted", unit=U, board="TBM4124382004X"), told("received", board=B, part="zzz"), FITTED]
    errors = send(client, *events).get_json()["errors"]
    assert {fault["pointer"] for fault in errors} == {"#/events/0/data/board", "#/events/1/data/part"}


MALFORMED = [
    "",
    "1234567",
    "a" * 65,
    "with a space",
    "tab\there1",
    "umlaut-\xe4\xe4\xe4",
    '"1234567"',
    '"unclosed-quote',
    'stray-"quote" inside',
    '"a\\b-escaped-b"',
    f'"{"a" * 65}"',
]


@pytest.mark.parametrize("key", MALFORMED)
def test_what_cannot_be_a_key_is_a_400(client: FlaskClient, key: str) -> None:
    last = last_number(client)
    response = client.post("/v1/events", json={"events": [TESTED]}, headers={"Idempotency-Key": key})
    problem = problem_of(response)
    assert (response.status_code, problem["code"]) == (400, "idempotency_key_malformed")
    assert "8 to 64 visible ASCII characters" in problem["detail"]
    assert last_number(client) == last


def test_a_missing_or_repeated_key_is_a_400(client: FlaskClient) -> None:
    missing = client.post("/v1/events", json={"events": [TESTED]})
    assert (missing.status_code, problem_of(missing)["code"]) == (400, "idempotency_key_missing")
    assert places(problem_of(missing)) == {"Idempotency-Key"}
    twice = [("Idempotency-Key", "12345678"), ("Idempotency-Key", "12345679")]
    assert client.post("/v1/events", json={"events": [TESTED]}, headers=twice).status_code == 400


FOLLOWING = [
    ("/v1/events?after=-1", "after", "whole number from 0"),
    ("/v1/events?after=1e3", "after", "whole number"),
    ("/v1/events?after=%D9%A1", "after", "whole number"),
    ("/v1/events?after=9999999999", "after", "whole number"),
    ("/v1/events?after=", "after", "whole number"),
    ("/v1/events?page_size=0", "page_size", "from 1 to 100"),
    ("/v1/events?page_size=101", "page_size", "from 1 to 100"),
    ("/v1/events?kind=fitted", "kind", "not a known name"),
    (f"/v1/boards/{B}/history?page_size=101", "page_size", "from 1 to 100"),
    (f"/v1/boards/{B}/history?after=1", "after", "not a known name"),
    (f"/v1/units/{U}/history?cursor=", "cursor", "is empty"),
    (f"/v1/boards/{'x' * 65}/history", "serial", "longer than 64"),
]


@pytest.mark.parametrize(("target", "at", "mend"), FOLLOWING)
def test_a_wrong_way_of_following_is_a_422(client: FlaskClient, target: str, at: str, mend: str) -> None:
    Bad(name=target, status=422, code="invalid_request", at=at, mend=mend, path=target, method="GET").check(
        client
    )


@pytest.mark.parametrize("cursor", ["abc", "bnVsbA", "WzEsMl0", "!!!", "e30"])
def test_a_made_up_cursor_is_a_400(client: FlaskClient, cursor: str) -> None:
    target = f"/v1/boards/{B}/history?cursor={cursor}"
    Bad(
        name=target, status=400, code="bad_cursor", at="cursor", mend="unchanged", path=target, method="GET"
    ).check(client)


def test_a_cursor_of_another_history_is_a_400(client: FlaskClient) -> None:
    page = client.get(f"/v1/units/{s.FULLY_RECORDED_PLOVER_60}/history?page_size=1").get_json()
    other = f"/v1/units/{s.TWO_PACK_PLOVER_60}/history?cursor={page['next_cursor']}"
    assert client.get(other).status_code == 400
