"""What a public key is told: nothing that was written down (OWASP API1, API3).

Nothing is looked up, so nothing can show: the statements that reach the database are counted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine, event

from service.api.calling import EXTENSION
from service.demo import serials as s
from service.settings import Settings
from service.store.tables import METADATA
from service.wiring import app_on
from tests.access.operations import NEEDED, REACHING
from tests.support.keys import a_key, bearer, without_key

PUBLISHED = {"catalogue_revisions"}
KEPT_FOR_KEYS = {"keys", "rate_counts"}
WRITTEN_DOWN = set(METADATA.tables) - PUBLISHED - KEPT_FOR_KEYS
"""The ledger, its states, and whatever else the shop's own doings are kept in."""
ASKING = [name for name, scope in NEEDED.items() if scope == "ask"]


class Read:
    """The tables that statements name."""

    def __init__(self) -> None:
        self.statements: list[str] = []

    def written_down(self) -> list[str]:
        return [each for each in self.statements if set(re.findall(r"\w+", each)) & WRITTEN_DOWN]


@pytest.fixture
def read(shop_engine: Engine) -> Iterator[Read]:
    found = Read()

    def note(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        found.statements.append(statement)

    event.listen(shop_engine, "before_cursor_execute", note)
    yield found
    event.remove(shop_engine, "before_cursor_execute", note)


@pytest.fixture(scope="module")
def public(shop_engine: Engine) -> dict[str, str]:
    return bearer(a_key(shop_engine, public=True, owner="chat"))


@pytest.fixture(scope="module")
def staff(shop_engine: Engine) -> dict[str, str]:
    return bearer(a_key(shop_engine, owner="staff"))


@pytest.fixture
def fresh(shop_engine: Engine) -> Iterator[FlaskClient]:
    """Of an app that has read nothing so far; its connection goes back to the engine of all these tests."""
    app: Flask = app_on(shop_engine, Settings())
    yield without_key(app)
    app.extensions[EXTENSION].reader.close()


def test_the_ledger_is_among_what_was_written_down() -> None:
    assert {"events", "event_subjects", "bindings", "boards", "units", "repeats"} <= WRITTEN_DOWN


@pytest.mark.parametrize("name", ASKING)
def test_no_statement_reads_what_was_written_down(
    fresh: FlaskClient, read: Read, public: dict[str, str], name: str
) -> None:
    call = REACHING[name]
    answer = fresh.open(call.target, method=call.method, headers=public, **call.sent)
    assert answer.status_code == 200
    assert read.statements, "at least the keys and the catalogue were read"
    assert read.written_down() == []


@pytest.mark.parametrize("target", [f"/v1/fit?board={s.USED_MAIN_60}", f"/v1/boards/{s.USED_MAIN_60}"])
def test_the_same_question_of_staff_reads_it(
    fresh: FlaskClient, read: Read, staff: dict[str, str], target: str
) -> None:
    assert fresh.get(target, headers=staff).status_code == 200
    assert read.written_down()


def test_as_of_reads_nothing_either(fresh: FlaskClient, read: Read, public: dict[str, str]) -> None:
    asked = f"/v1/fit?board={s.USED_MAIN_60}&unit={s.CUSTOMER_PLOVER_40}&as_of="
    for moment in ("2026-01-01T00:00:00Z", "2999-01-01T00:00:00Z"):
        assert fresh.get(asked + moment, headers=public).status_code == 422
    assert read.written_down() == []


BOARDS = {
    s.USED_MAIN_60: s.board_serial("M41", 2022, 8, 9117),
    s.STOLEN_MAIN: s.board_serial("M41", 2023, 19, 9432),
    s.SCRAPPED_MAIN: s.board_serial("M41", 2018, 9, 9015),
    s.LOCKED_PANEL_60: s.board_serial("N24", 2023, 24, 9071),
    s.RECALLED_LIFT: s.board_serial("L72", 2023, 41, 9028),
}
"""Serials of boards with a history, and of boards of which nobody has heard; of one layout each, made in the
same week."""
UNITS = {
    s.CUSTOMER_PLOVER_40: s.unit_serial("PL", 2023, 14, 9032),
    s.REPORTED_STOLEN_WREN_8: s.unit_serial("WB", 2022, 30, 9515),
    s.DISAGREEING_PLOVER_40: s.unit_serial("PL", 2022, 40, 9018),
}


OWN_FIELDS = re.compile(r'"(number|check)":\["\w+"\]|"printed":"[\w ]+"')
"""The running number and the check character, and how the label prints it all: read off the serial itself."""


def blurred(text: str, *serials: str) -> str:
    """The text without the serials that were asked about, whole or in pieces."""
    for serial in serials:
        text = text.replace(serial, "…")
    return OWN_FIELDS.sub("…", text)


def same(client: FlaskClient, headers: dict[str, str], target: str, known: str, unknown: str) -> bool:
    """Whether the same is answered about both serials: status, header fields and body, serials aside."""
    answers = [client.get(target.format(serial), headers=headers) for serial in (known, unknown)]
    own = {"X-Request-Id", "RateLimit", "ETag", "Content-Length"}
    seen = [
        (
            answer.status_code,
            {name: value for name, value in answer.headers if name not in own},
            blurred(answer.text, known, unknown),
        )
        for answer in answers
    ]
    return seen[0] == seen[1]


OF_BOARDS = [
    f"/v1/fit?board={{}}&unit={s.CUSTOMER_WREN_8}",
    "/v1/fit?board={}&model=plover-60",
    "/v1/boards/{}",
]
OF_UNITS = [
    f"/v1/fit?board={s.BLANK_MAIN}&unit={{}}",
    "/v1/fit?part=MN-4100&binding=blank&unit={}",
    "/v1/units/{}",
    "/v1/units/{}/parts?role=panel",
]


@pytest.mark.parametrize(("known", "unknown"), [*BOARDS.items()])
@pytest.mark.parametrize("target", OF_BOARDS)
def test_known_and_unknown_boards_are_answered_alike(
    client: FlaskClient, public: dict[str, str], target: str, known: str, unknown: str
) -> None:
    assert same(client, public, target, known, unknown)


@pytest.mark.parametrize(("known", "unknown"), [*UNITS.items()])
@pytest.mark.parametrize("target", OF_UNITS)
def test_known_and_unknown_units_are_answered_alike(
    client: FlaskClient, public: dict[str, str], target: str, known: str, unknown: str
) -> None:
    assert same(client, public, target, known, unknown)


def test_staff_are_told_what_is_known(client: FlaskClient, staff: dict[str, str]) -> None:
    """The comparison can fail."""
    for target, pairs in ((OF_BOARDS[2], BOARDS), (OF_UNITS[2], UNITS)):
        assert not all(same(client, staff, target, *pair) for pair in pairs.items())


def test_a_clearance_is_never_told_to_the_public(client: FlaskClient, public: dict[str, str]) -> None:
    answer = client.get(f"/v1/fit?board={s.STOLEN_MAIN}&unit={s.REPORTED_STOLEN_WREN_8}", headers=public)
    assert set(answer.json["clearance"].values()) == {"not_checked"}  # type: ignore[index] # it is JSON


DRAWN = [
    (f"/v1/fit/picture?board={{}}&unit={s.CUSTOMER_WREN_8}", s.STOLEN_MAIN, BOARDS[s.STOLEN_MAIN]),
    (
        f"/v1/fit/picture?board={s.BLANK_MAIN}&unit={{}}",
        s.DISAGREEING_PLOVER_40,
        UNITS[s.DISAGREEING_PLOVER_40],
    ),
    ("/v1/units/{}/picture", s.DISAGREEING_PLOVER_40, UNITS[s.DISAGREEING_PLOVER_40]),
]


def described(client: FlaskClient, headers: dict[str, str], target: str, serial: str) -> str:
    """What a picture says of itself, serials aside: all that it shows."""
    text = client.get(target.format(serial), headers=headers).text
    return text[text.index("<desc ") : text.index("</desc>")].partition(">")[2].replace(serial, "…")


@pytest.mark.parametrize(("target", "known", "unknown"), DRAWN)
def test_known_and_unknown_are_drawn_alike(
    client: FlaskClient, public: dict[str, str], staff: dict[str, str], target: str, known: str, unknown: str
) -> None:
    pair = [described(client, public, target, serial) for serial in (known, unknown)]
    assert pair[0] == pair[1] != ""
    # The comparison can fail.
    assert described(client, staff, target, known) != described(client, staff, target, unknown)
