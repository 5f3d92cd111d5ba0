"""Appending: all or none, numbers without gaps, versions, and what is refused with the truth beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import Engine, func, select

from service.domain.ledger.event import Draft, Event, Subject
from service.store.append import append, append_many
from service.store.engine import reading, snapshot, writing
from service.store.errors import AlreadyBound, Conflict, InvalidEvents, NotCorrectable
from service.store.gather import gather
from service.store.ledger import events_after, events_numbered, history, last_number
from service.store.tables import BINDINGS, EVENT_SUBJECTS, EVENTS, METADATA
from tests.ledger.telling import draft, factory_set, fit, remove
from tests.store.ledgers import (
    BIND,
    BIND_OTHER,
    CORRECTED,
    RECEIVED,
    a_day_at_the_bench,
    board,
    state_tables,
    tell,
    unit,
)

TESTED = draft("tested", board="B1", passed=True)


def bindings(engine: Engine) -> list[tuple[str, int, str, int]]:
    with reading(engine) as connection:
        rows = connection.execute(select(BINDINGS).order_by(BINDINGS.c.board, BINDINGS.c.epoch))
        return [tuple(row) for row in rows]


def at_once(engine: Engine, *drafts: Draft) -> list[Event]:
    with writing(engine) as connection:
        return append(connection, drafts)


def count(engine: Engine) -> int:
    with reading(engine) as connection:
        return connection.execute(select(func.count()).select_from(EVENTS)).scalar_one()


def test_what_is_appended_is_read_again(engine: Engine) -> None:
    told = a_day_at_the_bench(engine)
    with reading(engine) as connection:
        assert events_after(connection, 0) == told
        assert events_after(connection, 7) == told[7:]
        assert events_after(connection, 2, limit=3) == told[2:5]
        assert events_numbered(connection, [3, 1, 99]) == [told[0], told[2]]
        assert last_number(connection) == len(told)


def test_numbers_begin_at_one_and_have_no_gaps(engine: Engine) -> None:
    numbers = [event.seq for _ in range(3) for event in at_once(engine, RECEIVED, TESTED)]
    assert numbers == [1, 2, 3, 4, 5, 6]


def test_a_history_is_all_that_speaks_of_a_subject(engine: Engine) -> None:
    told = a_day_at_the_bench(engine)
    with reading(engine) as connection:
        for subject in {who for event in told for who in event.subjects}:
            assert history(connection, subject) == [event for event in told if subject in event.subjects]
        assert history(connection, board("nobody")) == []


def test_versions_of_a_subject_count_from_one(engine: Engine) -> None:
    a_day_at_the_bench(engine)
    with reading(engine) as connection:
        rows = connection.execute(select(EVENT_SUBJECTS).order_by(EVENT_SUBJECTS.c.seq)).all()
    seen: dict[tuple[str, str], int] = {}
    for row in rows:
        assert row.version == seen.get((row.kind, row.serial), 0) + 1
        seen[row.kind, row.serial] = row.version


def test_the_moment_of_recording_is_the_databases_and_never_goes_back(engine: Engine) -> None:
    before = datetime.now(UTC) - timedelta(seconds=2)
    first, second = tell(engine, RECEIVED)[0], tell(engine, TESTED)[0]
    assert before < first.recorded_at <= second.recorded_at < datetime.now(UTC) + timedelta(seconds=2)
    assert first.recorded_at.tzinfo is UTC


def test_a_clock_that_was_set_back_does_not_reorder_the_past(engine: Engine) -> None:
    ahead = datetime.now(UTC) + timedelta(days=1)
    with writing(engine) as connection:
        connection.execute(
            EVENTS.insert().values(seq=1, kind="tested", occurred_at=ahead, recorded_at=ahead, data={})
        )
    assert tell(engine, RECEIVED)[0].recorded_at == ahead


def test_the_moment_it_happened_is_kept_in_utc(engine: Engine) -> None:
    elsewhere = datetime.fromisoformat("2025-06-01T02:30:00+05:30")
    tell(engine, replace(RECEIVED, occurred_at=elsewhere))
    with reading(engine) as connection:
        (event,) = events_after(connection, 0)
    assert event.occurred_at == elsewhere
    assert event.occurred_at.isoformat() == "2025-05-31T21:00:00+00:00"


def test_one_invalid_event_and_nothing_is_written(engine: Engine) -> None:
    bad = Draft(kind="fitted", occurred_at=RECEIVED.occurred_at, data={"board": "B1"})
    with pytest.raises(InvalidEvents) as refusal:
        at_once(engine, RECEIVED, bad)
    assert {(at, fault.path[-1]) for at, fault in refusal.value.faults} == {
        (1, "unit"),
        (1, "role"),
        (1, "policy"),
    }
    assert count(engine) == 0


def test_nothing_is_appended_outside_of_a_writing_transaction(engine: Engine) -> None:
    for opened in (reading, snapshot):
        with opened(engine) as connection, pytest.raises(RuntimeError, match="writing"):
            append(connection, [RECEIVED])


def test_a_block_that_ends_badly_writes_nothing(engine: Engine) -> None:
    def fail_after_appending() -> None:
        with writing(engine) as connection:
            append(connection, [RECEIVED])
            raise KeyError

    with pytest.raises(KeyError):
        fail_after_appending()
    assert count(engine) == 0
    assert state_tables(engine)["boards"] == []


def test_a_refused_append_leaves_the_transaction_fit_for_use(engine: Engine) -> None:
    with writing(engine) as connection:
        append(connection, [BIND])
        with pytest.raises(AlreadyBound):
            append(connection, [TESTED, BIND_OTHER])
        append(connection, [TESTED])
    assert count(engine) == 2


def test_expected_versions_that_are_right_are_taken(engine: Engine) -> None:
    tell(engine, factory_set())
    with writing(engine) as connection:
        append(connection, [remove("M1")], {board("M1"): 1, unit("U1"): 1, board("B1"): 0})
    assert count(engine) == 2


@pytest.mark.parametrize("expected", [{board("M1"): 0}, {board("M1"): 2}, {board("M1"): 1, unit("U1"): 0}])
def test_a_conflict_tells_what_is_true_now(engine: Engine, expected: dict[Subject, int]) -> None:
    tell(engine, factory_set())
    with pytest.raises(Conflict) as refusal, writing(engine) as connection:
        append(connection, [remove("M1")], expected)
    assert all(refusal.value.versions[subject] == 1 for subject in refusal.value.versions)
    assert refusal.value.versions.keys() == expected.keys()
    with reading(engine) as connection:
        boards = [each.serial for each in refusal.value.versions if each.kind == "board"]
        units = [each.serial for each in refusal.value.versions if each.kind == "unit"]
        assert refusal.value.records == gather(connection, boards, units)
    assert count(engine) == 1


def test_a_board_is_bound_once(engine: Engine) -> None:
    tell(engine, RECEIVED, BIND)
    with pytest.raises(AlreadyBound) as refusal:
        at_once(engine, TESTED, BIND_OTHER)
    assert (refusal.value.binding.model, refusal.value.binding.seq) == ("plover-40", 2)
    assert refusal.value.records.boards[board("B1").serial].binding.values == frozenset({"plover-40"})
    assert count(engine) == 2
    assert bindings(engine) == [("B1", 1, "plover-40", 2)]


def test_a_board_is_bound_once_within_one_append(engine: Engine) -> None:
    with pytest.raises(AlreadyBound):
        at_once(engine, BIND, BIND_OTHER)
    assert count(engine) == 0


def test_the_same_model_again_binds_nothing_anew(engine: Engine) -> None:
    other_unit = draft("step_finished", step="enter_serial", board="B1", unit="U2", model="plover-40")
    tell(engine, BIND, other_unit)
    assert bindings(engine) == [("B1", 1, "plover-40", 1)]


@pytest.mark.parametrize("kind", ["received", "read_out", "registered"])
def test_telling_that_a_board_is_bound_binds_it(engine: Engine, kind: str) -> None:
    tell(engine, draft(kind, board="B1", binding="bound", bound_model="plover-40"))
    assert bindings(engine) == [("B1", 1, "plover-40", 1)]
    with pytest.raises(AlreadyBound):
        tell(engine, BIND_OTHER)


def test_the_factorys_set_is_bound_board_by_board(engine: Engine) -> None:
    tell(engine, factory_set())
    assert bindings(engine) == [("M1", 1, "plover-40", 1), ("P1", 1, "plover-40", 1)]


def test_a_differing_reading_is_recorded_and_binds_nothing(engine: Engine) -> None:
    tell(engine, BIND, draft("read_out", board="B1", binding="bound", bound_model="plover-60"))
    assert bindings(engine) == [("B1", 1, "plover-40", 1)]
    with reading(engine) as connection:
        known = gather(connection, [board("B1").serial], []).boards[board("B1").serial].binding
    assert known.contradiction
    assert known.values == frozenset({"plover-40", "plover-60"})


def test_after_a_correction_the_board_can_be_bound_in_the_next_epoch(engine: Engine) -> None:
    tell(engine, BIND, CORRECTED, BIND_OTHER)
    assert bindings(engine) == [("B1", 1, "plover-40", 1), ("B1", 2, "plover-60", 3)]
    with pytest.raises(AlreadyBound):
        tell(engine, BIND)


def test_the_reading_beside_a_correction_is_the_next_epoch(engine: Engine) -> None:
    reread = draft("corrected", withdraws=1, reason="x", board="B1", binding="bound", bound_model="plover-60")
    tell(engine, BIND)
    tell(engine, reread)
    assert bindings(engine) == [("B1", 1, "plover-40", 1), ("B1", 2, "plover-60", 2)]


def test_after_a_correction_a_later_record_that_stands_is_the_next_epoch(engine: Engine) -> None:
    later = draft("read_out", board="B1", binding="bound", bound_model="plover-60")
    tell(engine, BIND, later, CORRECTED)
    assert bindings(engine) == [("B1", 1, "plover-40", 1), ("B1", 2, "plover-60", 2)]


def test_correcting_another_event_leaves_the_binding(engine: Engine) -> None:
    tell(engine, BIND, TESTED, draft("corrected", withdraws=2, reason="mistyped"))
    assert bindings(engine) == [("B1", 1, "plover-40", 1)]


def test_a_correction_speaks_of_all_that_its_event_spoke_of(engine: Engine) -> None:
    *_, corrected = tell(engine, factory_set(), CORRECTED)
    assert set(corrected.subjects) == {board("M1"), board("P1"), unit("U1")}


@pytest.mark.parametrize(
    ("withdraws", "why"), [(99, "no_such_event"), (2, "is_a_correction"), (1, "withdrawn_already")]
)
def test_what_cannot_be_withdrawn(engine: Engine, withdraws: int, why: str) -> None:
    tell(engine, RECEIVED, CORRECTED)
    with pytest.raises(NotCorrectable) as refusal:
        tell(engine, draft("corrected", withdraws=withdraws, reason="x"))
    assert (refusal.value.seq, refusal.value.why) == (withdraws, why)
    assert count(engine) == 2


def test_one_event_is_not_withdrawn_twice_in_one_append(engine: Engine) -> None:
    tell(engine, RECEIVED)
    with pytest.raises(NotCorrectable):
        at_once(engine, CORRECTED, CORRECTED)


def test_an_event_of_the_same_append_cannot_be_withdrawn(engine: Engine) -> None:
    with pytest.raises(NotCorrectable):
        at_once(engine, RECEIVED, CORRECTED)


def test_any_number_is_appended_in_transactions_of_a_chunk(engine: Engine) -> None:
    drafts = [draft("received", board=f"B{number}", part="p-1", binding="blank") for number in range(25)]
    assert append_many(engine, iter(drafts), chunk=10) == 25
    assert count(engine) == len(state_tables(engine)["boards"]) == 25


def test_of_many_the_chunks_before_a_refused_one_stand(engine: Engine) -> None:
    with pytest.raises(AlreadyBound):
        append_many(engine, [RECEIVED, BIND, BIND_OTHER, fit("B1")], chunk=2)
    assert count(engine) == 2


def test_a_fresh_database_is_empty(engine: Engine) -> None:
    with reading(engine) as connection:
        for table in METADATA.tables.values():
            assert connection.execute(select(func.count()).select_from(table)).scalar_one() == 0
