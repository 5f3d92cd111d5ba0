"""What has happened to a board or a machine is told in order, in words and in data, and nothing is hidden."""

from __future__ import annotations

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.demo import serials as s
from service.demo.world import demo_events
from service.domain.ledger.event import Subject, SubjectKind
from service.domain.ledger.kinds import named_subjects
from service.usecases.caller import Scope
from tests.api.problem_shape import problem_of
from tests.api.writing import history, record, told
from tests.support.keys import a_key, bearer


@pytest.fixture
def writer(world_app: Flask) -> FlaskClient:
    return world_app.test_client()


@pytest.mark.parametrize(
    ("kind", "serial"),
    [
        ("board", s.BROKEN_OFF_MAIN),
        ("board", s.STILL_NEEDED_MAIN),
        ("board", s.CONTRADICTORY_MAIN),
        ("unit", s.RENEWED_WREN_8),
        ("unit", s.DONOR_PLOVER_60),
        ("unit", s.CUSTOMER_WREN_4),
    ],
)
def test_it_is_all_that_was_written_down_page_by_page(client: FlaskClient, kind: str, serial: str) -> None:
    found = history(client, kind, serial)
    subject = Subject(SubjectKind(kind), serial)  # type: ignore[arg-type] # the demo's constants are serials
    written = [draft for draft in demo_events() if subject in named_subjects(draft.kind, draft.data)]
    assert [(each["kind"], each["data"]) for each in found] == [(each.kind, each.data) for each in written]
    assert [each["version"] for each in found] == list(range(1, len(found) + 1))
    assert all({kind: serial, "version": each["version"]} in each["subjects"] for each in found)


def test_a_serial_is_read_as_it_is_written(client: FlaskClient) -> None:
    plain = client.get(f"/v1/boards/{s.BROKEN_OFF_MAIN}/history").get_json()
    typed = client.get(
        f"/v1/boards/%20{s.BROKEN_OFF_MAIN.lower()[:5]}-{s.BROKEN_OFF_MAIN[5:]}/history"
    ).get_json()
    assert typed["items"] == plain["items"]
    assert typed["board"] == s.BROKEN_OFF_MAIN


def test_what_was_withdrawn_is_marked_and_stays(writer: FlaskClient) -> None:
    board = s.BROKEN_OFF_MAIN
    before = history(writer, "board", board)
    failed = before[-1]
    correction = told("corrected", withdraws=failed["seq"], reason="it went well {after} all", board=board)
    (event,) = record(writer, correction)["events"]
    after = history(writer, "board", board)
    assert [each["seq"] for each in after[:-1]] == [each["seq"] for each in before]
    assert after[-2] == {**failed, "withdrawn": {"by": event["seq"], "reason": "it went well {after} all"}}
    assert all("withdrawn" not in each for each in (*after[:-2], after[-1]))
    unit = history(writer, "unit", s.BROKEN_OFF_PLOVER_60)
    assert [each["seq"] for each in unit if "withdrawn" in each] == [failed["seq"]]


def test_it_reads_like_a_diary(writer: FlaskClient) -> None:
    board, unit = s.BROKEN_OFF_MAIN, s.BROKEN_OFF_PLOVER_60
    seq = history(writer, "board", board)[-1]["seq"]
    record(writer, told("corrected", withdraws=seq, reason="it went well after all"))
    text = writer.get(f"/v1/boards/{board}/history", headers={"Accept": "text/plain"}).get_data(as_text=True)
    first, *lines = text.splitlines()
    assert first == f"board {board}"
    told_ = [line[25:].strip() for line in lines]
    assert told_[0].startswith(f"The main board {board} came into the shop. It is blank.")
    assert told_[1] == f"The main board {board} was fitted into the Plover 60 {unit}."
    assert told_[3].endswith(f"[withdrawn by event {seq_of(lines[-1])}: it went well after all]")
    assert lines[0].startswith("2025-03-")


def seq_of(line: str) -> int:
    return int(line[16:25])


def test_nothing_recorded_is_an_empty_history(client: FlaskClient) -> None:
    new = s.board_serial("M41", 2024, 42, 7010)
    assert client.get(f"/v1/boards/{new}/history").get_json() == {
        "board": new,
        "items": [],
        "next_cursor": None,
    }
    text = client.get(f"/v1/boards/{new}/history", headers={"Accept": "text/plain"}).get_data(as_text=True)
    assert "nothing is recorded" in text


@pytest.mark.parametrize("kind", ["board", "unit"])
def test_a_serial_that_names_nothing_is_a_404(client: FlaskClient, kind: str) -> None:
    response = client.get(f"/v1/{kind}s/ZZ-99/history")
    assert response.status_code == 404
    assert problem_of(response)["code"] == f"unknown_{kind}"


def test_histories_and_the_feed_are_for_stock_keys(world: Engine, writer: FlaskClient) -> None:
    asking, stock = (
        bearer(a_key(world, Scope.ASK, Scope.RECORD)),
        bearer(a_key(world, Scope.STOCK)),
    )
    for target in (
        f"/v1/boards/{s.BLANK_MAIN}/history",
        f"/v1/units/{s.CUSTOMER_WREN_4}/history",
        "/v1/events",
    ):
        assert writer.get(target, headers=asking).status_code == 403
        assert writer.get(target, headers=stock).status_code == 200


def test_a_history_that_grows_has_another_tag(writer: FlaskClient) -> None:
    target = f"/v1/boards/{s.BLANK_MAIN}/history"
    tag = writer.get(target).headers["ETag"]
    assert writer.get(target, headers={"If-None-Match": tag}).status_code == 304
    record(writer, told("tested", board=s.BLANK_MAIN, passed=True))
    assert writer.get(target, headers={"If-None-Match": tag}).status_code == 200
