"""Questions that are JSON and break the schema, or have no meaning: a 422 with the pointer and the mend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.demo import serials as s
from service.domain.facts.question import MAX_BOARDS
from tests.api.bad import Bad, cases, post

Path = tuple[str | int, ...]


def each(values: Sequence[Any], mend: str) -> list[tuple[Any, str]]:
    """Wrong values that are mended alike."""
    return [(value, mend) for value in values]


TEXT: list[tuple[Any, str]] = [
    (None, "may not be null: leave it out"),
    (5, "text in quotes"),
    (True, "text in quotes"),
    (["a"], "text in quotes"),
    ({"a": 1}, "text in quotes"),
    ("", "is empty: leave it out"),
    ("   ", "visible character"),
    ("x" * 65, "longer than 64 characters"),
    ("a\x7fb", "control character"),
    ("a\tb", "control character"),
]
CHOICE: list[tuple[Any, str]] = [
    (None, "may not be null"),
    (7, "text in quotes"),
    ("Nonsense", "is not known: use one of"),
    ("", "is not known: use one of"),
]
FLAG = each(("true", "yes", 1, 0, 1.0, None, [], {}), "true or false, without quotes|may not be null")
OBJECT = each((None, 1, "main", [], True, 2.5), "object in braces|may not be null")
LIST = each((None, 1, "main", {}, True), "list in brackets|may not be null")
DAY = each(
    (
        None,
        20240531,
        "",
        "2024-5-31",
        "2024-02-30",
        "2023-02-29",
        "2100-02-29",
        "31.05.2024",
        "2024-05-31T00:00:00Z",
        "2024-W22-5",
        "20240531",
        "2024-05-31\n",
        "\u0662\u0660\u0662\u0664-\u0660\u0665-\u0663\u0661",
        "0000-01-01",
    ),
    "a day that exists|may not be null",
)
# The invalid ones of RFC 3339's own list and of the JSON-Schema-Test-Suite (MIT), draft 2020-12,
# optional/format/date-time.json.
MOMENT = each(
    (
        None,
        1704067200,
        "",
        "2024-01-01",
        "2024-01-01T00:00:00",
        "2024-01-01 00:00:00Z",
        "2024-01-01T00:00Z",
        "1998-12-31T23:58:60Z",
        "1998-12-31T22:59:60Z",
        "1990-12-31T15:59:59-24:00",
        "1990-12-31T10:00:00+10:60",
        "1963-06-19T08:30:06.28123+01:00Z",
        "06/19/1963 08:30:06 PST",
        "2013-350T01:01:01",
        "+11963-06-19T08:30:06.283185Z",
        "1990-02-31T15:59:59.123-08:00",
        "1963-06-1\u09eaT00:00:00Z",
        "2024-01-01T24:00:00Z",
        "0001-01-01T00:00:00+23:59",
        "2024-01-01T00:00:00." + "1" * 60 + "Z",
    ),
    "a moment with its offset|may not be null",
)
AMOUNT = each((None, -1, 1001, 1.5, "1", True, [], {}, 10**90), "whole number from 0 to 1000|may not be null")


def _nest(path: Path, value: Any) -> Any:
    for step in reversed(path):
        value = [*({} for _ in range(step)), value] if isinstance(step, int) else {step: value}
    return value


def _filled(path: Path, value: Any) -> dict[str, Any]:
    """A question that is right but for one place."""
    body: dict[str, Any] = _nest(path, value)
    if path[0] == "boards" and len(path) > 1:
        body["boards"][0].setdefault("part", "MN-4100")
    if path[:2] == ("unit", "boards") and len(path) > 2:
        body["unit"]["boards"][0].setdefault("role", "panel")
    return body


FIELDS: list[tuple[Path, list[tuple[Any, str]]]] = [
    (("unit",), OBJECT),
    (("unit", "serial"), TEXT),
    (("unit", "model"), TEXT),
    (("unit", "papers_model"), TEXT),
    (("unit", "market"), TEXT),
    (("unit", "made_on"), DAY),
    (("unit", "read"), OBJECT),
    (("unit", "read", "model"), TEXT),
    (("unit", "read", "serial"), TEXT),
    (("unit", "boards"), LIST),
    (("unit", "boards", 0), OBJECT),
    (("unit", "boards", 0, "role"), TEXT),
    (("unit", "boards", 0, "place"), TEXT),
    (("unit", "boards", 0, "empty"), FLAG),
    (("unit", "boards", 0, "claimed"), OBJECT),
    (("unit", "boards", 0, "read"), OBJECT),
    (("unit", "boards", 0, "introduced"), FLAG),
    (("unit", "accessories"), OBJECT),
    (("unit", "accessories", "battery_pack"), AMOUNT),
    (("boards",), LIST),
    (("boards", 0), OBJECT),
    (("boards", 0, "serial"), TEXT),
    (("boards", 0, "part"), TEXT),
    (("boards", 0, "role"), TEXT),
    (("boards", 0, "place"), TEXT),
    (("boards", 0, "introduced"), FLAG),
    (("boards", 0, "claimed"), OBJECT),
    (("boards", 0, "claimed", "part"), TEXT),
    (("boards", 0, "claimed", "binding"), CHOICE),
    (("boards", 0, "claimed", "bound_model"), TEXT),
    (("boards", 0, "claimed", "holds"), [case for case in TEXT if case[0] != ""]),
    (("boards", 0, "claimed", "condition"), CHOICE),
    (("boards", 0, "claimed", "introduced"), FLAG),
    (("boards", 0, "read"), OBJECT),
    (("boards", 0, "read", "part"), TEXT),
    (("boards", 0, "read", "binding"), CHOICE),
    (("boards", 0, "read", "bound_model"), TEXT),
    (("assume",), CHOICE),
    (("means",), CHOICE),
    (("questions",), CHOICE),
    (("as_of",), MOMENT),
]


def _pointer(path: Path) -> str:
    return "#/" + "/".join(str(step) for step in path)


def wrong_values() -> Iterator[Bad]:
    """Every field with every kind of wrong value."""
    for path, values in FIELDS:
        for value, mend in values:
            body = _nest(path, value) if len(path) > 1 and path[-1] == 0 else _filled(path, value)
            yield post(body, _pointer(path), mend)


UNKNOWN_NAMES = [
    post({"unti": {}}, "#/unti", "did you mean unit"),
    post({"board": []}, "#/board", "did you mean boards"),
    post({"asume": "usual"}, "#/asume", "did you mean assume"),
    post({"x": 1}, "#/x", "use one of as_of, assume, boards"),
    post({"unit": {"sreial": "A"}}, "#/unit/sreial", "did you mean serial"),
    post({"unit": {"Model": "wren-4"}}, "#/unit/Model", "did you mean model"),
    post({"unit": {"read": {"modl": "wren-4"}}}, "#/unit/read/modl", "did you mean model"),
    post(
        {"unit": {"boards": [{"role": "main", "partt": "x"}]}}, "#/unit/boards/0/partt", "did you mean part"
    ),
    post({"boards": [{"part": "MN-4100", "empty": True}]}, "#/boards/0/empty", "not a known name"),
    post(
        {"boards": [{"part": "MN-4100", "read": {"condition": "usable"}}]},
        "#/boards/0/read/condition",
        "use one of",
    ),
    post(
        {"boards": [{"part": "MN-4100", "claimed": {"bound_to": "x"}}]},
        "#/boards/0/claimed/bound_to",
        "bound_model",
    ),
    post({"a/b": 1}, "#/a~1b", "not a known name"),
    post({"a~b": 1}, "#/a~0b", "not a known name"),
    post({"ä": 1}, "#/%C3%A4", "not a known name"),
    post({"": 1}, "#/", "not a known name"),
    post({"x" * 400: 1}, "#", "not a known name"),
    post({"unit": {"\u1f4b" * 100: 1}}, "#/unit", "not a known name"),
]

M = "MN-4100"
IMPOSSIBLE = [
    post({"boards": [{}]}, "#/boards/0/serial", "name the board by serial, part or role"),
    post({"boards": [{"place": "left"}]}, "#/boards/0/serial", "name the board"),
    post({"boards": [{"claimed": {"binding": "used"}}]}, "#/boards/0/serial", "name the board"),
    post(
        {"boards": [{"part": M, "claimed": {"binding": "bound"}}]},
        "#/boards/0/claimed/bound_model",
        'or say "used"',
    ),
    post(
        {"boards": [{"part": M, "read": {"binding": "bound"}}]},
        "#/boards/0/read/bound_model",
        "without its model",
    ),
    post(
        {"boards": [{"part": M, "claimed": {"binding": "blank", "bound_model": "wren-4"}}]},
        "#/boards/0/claimed/bound_model",
        "leave one of them out",
    ),
    post(
        {"boards": [{"part": M, "claimed": {"binding": "used", "bound_model": "wren-4"}}]},
        "#/boards/0/claimed/bound_model",
        "leave one of them out",
    ),
    post(
        {"boards": [{"part": M, "read": {"binding": "blank", "holds": s.CUSTOMER_WREN_4}}]},
        "#/boards/0/read/holds",
        "holds no unit serial",
    ),
    post({"boards": [{"part": M, "claimed": {"part": "PN-2200"}}]}, "#/boards/0/part", "say it once"),
    post(
        {"boards": [{"part": "PN-2200", "introduced": True, "claimed": {"introduced": False}}]},
        "#/boards/0/introduced",
        "say it once",
    ),
    post({"unit": {"boards": [{"empty": True}]}}, "#/unit/boards/0/role", "which place is empty"),
    post(
        {"unit": {"boards": [{"role": "lamp", "empty": True, "part": "LM-9100"}]}},
        "#/unit/boards/0/part",
        "holds no board",
    ),
    post(
        {"unit": {"boards": [{"role": "lamp", "empty": True, "serial": s.RECALLED_LIFT}]}},
        "#/unit/boards/0/serial",
        "holds no board",
    ),
    post({"unit": {"model": "plover-4"}}, "#/unit/model", "did you mean plover-40"),
    post({"unit": {"model": "Plover 40"}}, "#/unit/model", "did you mean plover-40"),
    post({"unit": {"model": "zzz"}}, "#/unit/model", "use one of curlew-12"),
    post({"unit": {"papers_model": "wren"}}, "#/unit/papers_model", "did you mean wren-"),
    post({"unit": {"read": {"model": "curlew"}}}, "#/unit/read/model", "did you mean curlew-"),
    post({"unit": {"market": "main-land"}}, "#/unit/market", "did you mean mainland"),
    post({"unit": {"market": "moon"}}, "#/unit/market", "use one of isles, mainland"),
    post({"boards": [{"part": "MN-410"}]}, "#/boards/0", "did you mean MN-4100"),
    post({"boards": [{"claimed": {"part": "XX"}}]}, "#/boards/0", "see /v1/parts"),
    post({"boards": [{"role": "mian"}]}, "#/boards/0/role", "did you mean main"),
    post({"boards": [{"role": "engine"}]}, "#/boards/0/role", "use one of bumper, lamp"),
    post({"boards": [{"role": "bumper", "place": "lft"}]}, "#/boards/0/place", "use one of left, right"),
    post({"boards": [{"role": "main", "place": "left"}]}, "#/boards/0/place", "one place, leave this out"),
    post({"boards": [{"role": "panel", "part": M}]}, "#/boards/0/role", "not for the role"),
    post({"boards": [{"role": "panel", "serial": s.BLANK_MAIN}]}, "#/boards/0/role", "not for the role"),
    post(
        {"boards": [{"serial": s.BLANK_MAIN}, {"serial": s.BLANK_MAIN}]}, "#/boards/1/serial", "named twice"
    ),
    post(
        {"boards": [{"serial": s.BLANK_MAIN}, {"serial": s.BLANK_MAIN.lower() + " "}]},
        "#/boards/1/serial",
        "named twice",
    ),
    post({"boards": [{"part": M}, {"role": "main"}]}, "#/boards/1", "two boards for the place main"),
    post(
        {"boards": [{"role": "bumper", "place": "left"}, {"role": "bumper", "place": "left"}]},
        "#/boards/1",
        "two boards for the place bumper.left",
    ),
    post({"boards": [{"role": "bumper"}] * 3}, "#/boards/2", "two boards for the place bumper"),
    post(
        {"unit": {"boards": [{"role": "panel"}, {"role": "panel"}]}},
        "#/unit/boards/1",
        "two boards for the place panel",
    ),
    post({"boards": [{"role": "lift"}] * (MAX_BOARDS + 1)}, "#/boards", f"0 to {MAX_BOARDS} items"),
    post(
        {"boards": [{"role": "lift"}], "unit": {"boards": [{"role": "rain"}] * MAX_BOARDS}},
        "#/boards",
        "more than 16 boards",
    ),
    post({"boards": [{"serial": "ZZ-1"}, {"part": M}]}, "#/boards/0/role", "give its role"),
    post({"unit": {"boards": [{"serial": "ZZ-1"}]}}, "#/unit/boards/0/role", "give its role"),
    post(
        {
            "unit": {
                "read": {"model": "wren-4"},
                "boards": [{"role": "main", "read": {"bound_model": "wren-8"}}],
            }
        },
        "#/unit/boards/0/read",
        "say it once",
    ),
    post({"as_of": "2999-01-01T00:00:00Z"}, "#/as_of", "in the future: leave it out"),
    post({"as_of": "1999-01-01T00:00:00Z"}, "#/as_of", "no catalogue was published then"),
    post(
        {"unit": {"accessories": {"battery_pak": 1}}},
        "#/unit/accessories/battery_pak",
        "did you mean battery_pack",
    ),
]

BATCH = "/v1/fit-checks/batch"
ENVELOPES = [
    post({}, "#/questions", "is missing", path=BATCH),
    post({"questions": None}, "#/questions", "may not be null", path=BATCH),
    post({"questions": {}}, "#/questions", "list in brackets", path=BATCH),
    post({"questions": "all"}, "#/questions", "list in brackets", path=BATCH),
    post({"questions": []}, "#/questions", "1 to 1000 items", path=BATCH),
    post({"questions": [{}] * 1001}, "#/questions", "1 to 1000 items", path=BATCH),
    post({"questions": [{}, 5]}, "#/questions/1", "object in braces", path=BATCH),
    post({"questions": [{}, None]}, "#/questions/1", "null|object in braces", path=BATCH),
    post({"questions": [{}], "as_of": "2024-01-01T00:00:00Z"}, "#/as_of", "not a known name", path=BATCH),
    post([], "#", "object in braces", path=BATCH),
    post([{}], "#", "object in braces", path=BATCH),
    *(post(value, "#", mend) for value, mend in each(([], [{}], 1, "x", True, 1.5), "object in braces")),
]


@pytest.mark.parametrize("bad", cases([*wrong_values(), *UNKNOWN_NAMES, *IMPOSSIBLE, *ENVELOPES]))
def test_it_is_refused_with_its_place_and_mend(client: FlaskClient, bad: Bad) -> None:
    bad.check(client)


def test_all_faults_of_a_schema_are_told_at_once(client: FlaskClient) -> None:
    body = {"unit": {"serial": 5, "colour": 1}, "boards": [{"part": ""}], "means": "x"}
    errors = client.post("/v1/fit-checks", json=body).get_json()["errors"]
    assert {fault["pointer"] for fault in errors} == {
        "#/unit/serial",
        "#/unit/colour",
        "#/boards/0/part",
        "#/means",
    }


def test_a_bad_item_of_a_batch_is_its_own_problem(client: FlaskClient) -> None:
    questions = [bad.sent["json"] for bad in (*UNKNOWN_NAMES, *IMPOSSIBLE)]
    response = client.post(BATCH, json={"questions": [{}, *questions, {}]})
    assert response.status_code == 200
    first, *entries, last = response.get_json()["answers"]
    assert "answer" in first
    assert "answer" in last
    for bad, entry in zip((*UNKNOWN_NAMES, *IMPOSSIBLE), entries, strict=True):
        pointers = {fault["pointer"] for fault in entry["problem"]["errors"]}
        assert bad.at in pointers, bad.name
        assert entry["problem"]["status"] == 422
