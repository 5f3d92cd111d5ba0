"""Who is told what: the stock is for keys that are good for it, and the public reads no ledger."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from flask.testing import FlaskClient
from sqlalchemy import Engine, event

from service.demo import serials as s
from service.usecases.caller import Scope
from tests.support.keys import a_key, bearer, keyed_app

STOCK = (f"/v1/units/{s.CUSTOMER_PLOVER_40}/candidates?role=main", f"/v1/boards/{s.BLANK_MAIN}/destinations")
LEDGER = ("events", "event_subjects", "bindings", "boards", "units", "vacancies")


@contextmanager
def statements(engine: Engine) -> Iterator[list[str]]:
    """What is sent to the database meanwhile."""
    sent: list[str] = []

    def note(*told: object) -> None:
        sent.append(str(told[2]).lower())

    event.listen(engine, "before_cursor_execute", note)
    yield sent
    event.remove(engine, "before_cursor_execute", note)


@pytest.fixture(scope="module")
def public(demo_engine: Engine) -> dict[str, str]:
    return bearer(a_key(demo_engine, Scope.ASK, owner="chat of the look-ups", public=True))


@pytest.fixture(scope="module")
def asking(demo_engine: Engine) -> dict[str, str]:
    return bearer(a_key(demo_engine, Scope.ASK, owner="till of the look-ups"))


@pytest.fixture(scope="module")
def client(demo_engine: Engine, public: dict[str, str], asking: dict[str, str]) -> FlaskClient:
    """Of an app that is made after the keys, so that it knows them at once."""
    assert public != asking
    return keyed_app(demo_engine).test_client()


@pytest.mark.parametrize("path", STOCK)
def test_the_stock_is_not_for_everybody_who_may_ask(
    client: FlaskClient, public: dict[str, str], asking: dict[str, str], path: str
) -> None:
    for key in (public, asking):
        assert client.get(path, headers=key).status_code == 403


def test_the_way_to_the_stock_is_shown_to_those_who_may_go_there(
    client: FlaskClient, asking: dict[str, str]
) -> None:
    path = f"/v1/units/{s.DISAGREEING_PLOVER_40}"
    assert client.get(path).get_json()["if_it_refuses"]["mend"]["boards"][0]["candidates"]
    found = client.get(path, headers=asking).get_json()
    assert found["if_it_refuses"]["mend"]["boards"] == [{"role": "main"}]


@pytest.mark.parametrize("means", ["bench", "counter", "customer"])
def test_the_public_is_told_as_a_customer_whatever_it_says_of_its_means(
    client: FlaskClient, public: dict[str, str], means: str
) -> None:
    found = client.get(f"/v1/units/{s.DISAGREEING_PLOVER_40}?means={means}", headers=public).get_json()
    assert found["programming"]["steps"] == []
    told = found["if_it_refuses"]
    assert (told["look_at"], told["mend"]["boards"]) == ([], [])
    assert "do_not_open_the_machine" in [each["code"] for each in told["cautions"]]


def printed(told: str) -> str:
    """The plate's serial as it is printed on it."""
    serial: str = json.loads(told)["decoded"]["printed"]
    return f'"{serial}"'


def test_the_public_reads_no_ledger_and_learns_nothing_of_it(
    client: FlaskClient, demo_engine: Engine, public: dict[str, str]
) -> None:
    """A unit whose boards disagree on record, and one of the same build that nobody ever saw."""
    unseen = s.unit_serial("PL", 2022, 40, 19)
    client.get(f"/v1/units/{unseen}", headers=public)
    with statements(demo_engine) as sent:
        known, unknown = (
            client.get(f"/v1/units/{serial}", headers=public).text
            for serial in (s.DISAGREEING_PLOVER_40, unseen)
        )
    assert [text for text in sent if any(f"from {table}" in text for table in LEDGER)] == []
    assert (
        known.replace(s.DISAGREEING_PLOVER_40, unseen)
        .replace('["18"]', '["19"]')
        .replace(printed(known), printed(unknown))
        .replace(f'["{s.DISAGREEING_PLOVER_40[-1]}"]', f'["{unseen[-1]}"]')
        == unknown
    )
