"""Laws of the fold, over random histories of every kind."""

from __future__ import annotations

from collections import Counter

from hypothesis import given, settings

from service.domain.ledger.event import Draft, Event, EventKind, Subject, SubjectKind
from service.domain.ledger.fold import States, fold_board, fold_unit, step, withdrawn
from service.domain.ledger.kinds import KINDS, draft_faults
from tests.ledger.histories import histories
from tests.ledger.telling import fold, numbered


def streams(events: list[Event]) -> dict[Subject, list[Event]]:
    found: dict[Subject, list[Event]] = {}
    for event in events:
        for subject in event.subjects:
            found.setdefault(subject, []).append(event)
    return found


def without_versions(states: States) -> States:
    """Versions count what was withdrawn too, so they are set aside where a correction is compared."""
    bare = States()
    for serial, board in states.boards.items():
        bare.boards[serial] = board._replace(record=board.record._replace(version=0))
    for serial, unit in states.units.items():
        bare.units[serial] = unit._replace(record=unit.record._replace(version=0))
    return bare


@given(histories())
def test_every_history_of_the_generator_is_valid(history: list[Draft]) -> None:
    assert [fault for event in history for fault in draft_faults(event)] == []


@given(histories())
def test_a_state_depends_on_the_events_that_speak_of_it_alone(history: list[Draft]) -> None:
    events = numbered(history)
    states = fold(events)
    for (kind, serial), stream in streams(events).items():
        if kind is SubjectKind.BOARD:
            assert fold_board(serial, stream) == states.boards[serial]
        else:
            assert fold_unit(serial, stream) == states.units[serial]


@given(histories())
def test_one_event_after_another_is_the_same_as_all_at_once(history: list[Draft]) -> None:
    events = [event for event in numbered(history) if event.kind != EventKind.CORRECTED]
    states = States()
    for event in events:
        step(states, event)
    assert states == fold(events)


@given(histories())
def test_a_correction_leaves_what_there_would_be_without_its_event(history: list[Draft]) -> None:
    events = numbered(history)
    void = withdrawn(events)
    left = [event for event in events if event.seq not in void]
    bare = [event for event in left if event.kind != EventKind.CORRECTED or "board" in event.data]
    expected, found = without_versions(fold(bare)), without_versions(fold(events))
    for serial, board in expected.boards.items():
        assert found.boards[serial] == board
    for serial, unit in expected.units.items():
        assert found.units[serial] == unit


@given(histories())
def test_a_version_counts_the_events_that_speak_of_a_subject(history: list[Draft]) -> None:
    events = numbered(history)
    states = fold(events)
    counted = Counter(subject for event in events for subject in event.subjects)
    for (kind, serial), count in counted.items():
        known = states.boards[serial] if kind is SubjectKind.BOARD else states.units[serial]
        assert known.record.version == count
    assert len(counted) == len(states.boards) + len(states.units)


def test_the_generator_makes_every_kind() -> None:
    seen: Counter[str] = Counter()

    @settings(max_examples=300)
    @given(histories())
    def count(history: list[Draft]) -> None:
        seen.update(event.kind for event in history)

    count()
    assert set(seen) == set(KINDS)
    assert min(seen.values()) > 10
