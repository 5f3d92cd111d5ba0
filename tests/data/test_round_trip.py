"""What is exported is imported again, and says the same."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine

from service.demo import serials as s
from service.demo.factory import PRODUCTS
from service.demo.making import fill
from service.domain.ledger.event import Draft, Event
from service.domain.recording.legality import judge
from service.domain.terms import PartNumber
from service.files.rows import Form
from service.files.writing import encoded
from service.store.appending import Appending
from service.store.engine import reading, writing
from service.store.errors import Conflict, NotCorrectable
from service.store.ledger import events_after
from service.usecases.importing.source import Subject
from tests.data.copying import COMPILED, new_ledger, rows_out, taken_in, written_out
from tests.ledger.histories import histories
from tests.store.ledgers import state_tables

FORMS = st.sampled_from(list(Form))
Row = dict[str, Any]
DAYS = st.dates(date(2000, 1, 1), date(2025, 12, 31))


def events_of(engine: Engine) -> list[Event]:
    """All but when they were recorded, which is each ledger's own."""
    with reading(engine) as connection:
        events = events_after(connection, 0, 100_000)
    return [replace(event, recorded_at=event.occurred_at) for event in events]


@pytest.mark.parametrize("form", list(Form))
def test_the_demos_ledger_is_copied_whole_from_either_database(
    engine: Engine, published_file: Path, form: Form
) -> None:
    fill(engine)
    content = written_out(engine, Subject.EVENTS, form)
    with new_ledger(published_file) as copy:
        tally, flaws = taken_in(copy, Subject.EVENTS, content, form)
        assert (tally.taken, flaws) == (len(events_of(engine)), [])
        assert events_of(copy) == events_of(engine)
        assert state_tables(copy) == state_tables(engine)


def test_a_file_that_comes_back_to_its_ledger_says_nothing_new(engine: Engine) -> None:
    fill(engine)
    before = events_of(engine)
    for form in Form:
        tally, flaws = taken_in(engine, Subject.EVENTS, written_out(engine, Subject.EVENTS, form), form)
        assert (tally.taken, tally.there, flaws) == (0, len(before), [])
    assert events_of(engine) == before


def test_the_demos_boards_and_units_go_into_an_empty_shop(engine: Engine, published_file: Path) -> None:
    """On PostgreSQL the order of serials is the database's own, so it is put aside here."""
    fill(engine)
    with new_ledger(published_file) as copy:
        for subject in (Subject.UNITS, Subject.BOARDS):
            tally, flaws = taken_in(copy, subject, written_out(engine, subject, Form.CSV), Form.CSV)
            assert (tally.there, flaws) == (0, [])
            assert by_serial(copy, subject) == by_serial(engine, subject)


def by_serial(engine: Engine, subject: Subject) -> dict[str, Any]:
    return {row["serial"]: row for row in rows_out(engine, subject)}


def record_what_is_legal(engine: Engine, history: list[Draft]) -> None:
    """The history less what is refused; numbers in it count its own events."""
    numbers: dict[int, int] = {}
    for at, draft in enumerate(history, 1):
        data = dict(draft.data)
        for pointer in ("withdraws", "placed"):
            if pointer in data:
                data[pointer] = numbers.get(data[pointer], 1)
        with suppress(Conflict, NotCorrectable), writing(engine) as connection:
            appending = Appending(connection, judge=partial(judge, COMPILED))
            numbers[at] = appending.take([replace(draft, data=data)])[0].seq
            appending.keep()


@settings(max_examples=15)
@given(history=histories(), form=FORMS)
def test_every_ledger_is_copied_whole(published_file: Path, history: list[Draft], form: Form) -> None:
    with new_ledger(published_file) as original, new_ledger(published_file) as copy:
        record_what_is_legal(original, history)
        recorded = events_of(original)
        tally, flaws = taken_in(copy, Subject.EVENTS, written_out(original, Subject.EVENTS, form), form)
        assert (tally.taken, flaws) == (len(recorded), [])
        assert events_of(copy) == recorded
        assert state_tables(copy) == state_tables(original)


@settings(max_examples=10)
@given(history=histories())
def test_whatever_happened_boards_and_units_can_be_told_of(
    published_file: Path, history: list[Draft]
) -> None:
    """Also what their columns cannot say whole: an export never fails, and is taken in."""
    with new_ledger(published_file) as original, new_ledger(published_file) as copy:
        record_what_is_legal(original, history)
        for subject in (Subject.BOARDS, Subject.UNITS):
            assert len(rows_out(original, subject)) <= len(state_tables(original)[subject.value])
            written_out(original, subject, Form.CSV)
        content = written_out(original, Subject.BOARDS, Form.CSV).replace(b"p-1", b"").replace(b"p-2", b"")
        assert taken_in(copy, Subject.BOARDS, content, Form.CSV)[1] == []
        assert by_serial(copy, Subject.BOARDS).keys() == by_serial(original, Subject.BOARDS).keys()


def unique_rows(row: st.SearchStrategy[Row]) -> st.SearchStrategy[list[Row]]:
    return st.lists(row, min_size=1, max_size=6, unique_by=lambda each: each["serial"])


@st.composite
def board_rows(draw: st.DrawFn) -> Row:
    """A board's line in the words in which it is written."""
    part = draw(st.sampled_from(["MN-4100", "PN-2400", "LF-7200"]))
    row: Row = {"serial": s.board_serial(PRODUCTS[part], 2024, 1, draw(st.integers(0, 9999))), "part": part}
    binding = draw(st.sampled_from([None] if part == "LF-7200" else [None, "blank", "used", "bound"]))
    if binding:
        row["binding"] = binding
    if binding == "bound":
        row["bound_model"] = draw(st.sampled_from(["plover-40", "plover-60"]))
    if binding != "blank" and draw(st.booleans()):
        row["holds"] = draw(st.sampled_from(["none", s.DONOR_PLOVER_60, "=1+1"]))
    catalogue = COMPILED.catalogue
    releases = catalogue.roles[catalogue.parts[PartNumber(part)].role].releases
    release = draw(st.sampled_from([None, *releases]))
    if release:
        row["release"] = release
    condition = draw(st.sampled_from(["usable", "exposed", "maybe_exposed", "failed", "scrapped"]))
    exposed = {"exposed_to": draw(st.sampled_from(["water", "lightning", "fire"]))}
    row |= {"condition": condition, **(exposed if "exposed" in condition else {})}
    row["tested"] = condition == "usable" and draw(st.booleans())
    row["in_custody"] = draw(st.booleans())
    row["received_on"] = draw(DAYS).isoformat()
    return row


ROLES = {"main": "M41", "panel": "N24", "bumper.left": "B62", "bumper.right": "B62", "lamp": "E93"}


@st.composite
def unit_rows(draw: st.DrawFn) -> Row:
    """A unit's line. Its boards bear its own number, so that no board is in two units."""
    number = draw(st.integers(0, 9998))
    row: Row = {"serial": s.unit_serial("PM", 2024, 1, number)}
    row |= {"model": "plover-60"} if draw(st.booleans()) else {}
    row |= {"market": draw(st.sampled_from(["mainland", "isles"]))} if draw(st.booleans()) else {}
    row |= {"made_on": draw(DAYS).isoformat()} if draw(st.booleans()) else {}
    row["registered_on"] = draw(DAYS).isoformat()
    for week, (column, product) in enumerate(ROLES.items(), 1):
        if draw(st.booleans()):
            row[column] = s.board_serial(product, 2023, week, number)
    return row


@settings(max_examples=15)
@given(rows=unique_rows(board_rows()), form=FORMS)
def test_boards_say_what_they_came_with(published_file: Path, rows: list[Row], form: Form) -> None:
    says_the_same(published_file, Subject.BOARDS, rows, form)


@settings(max_examples=15)
@given(rows=unique_rows(unit_rows()), form=FORMS)
def test_units_say_what_they_came_with(published_file: Path, rows: list[Row], form: Form) -> None:
    says_the_same(published_file, Subject.UNITS, rows, form)


def says_the_same(published_file: Path, subject: Subject, rows: list[Row], form: Form) -> None:
    columns = sorted({"serial", *(name for row in rows for name in row)})
    with new_ledger(published_file) as first, new_ledger(published_file) as second:
        content = b"".join(encoded(rows, columns, form))
        tally, flaws = taken_in(first, subject, content, form)
        assert (tally.taken, flaws) == (len(rows), [])
        assert rows_out(first, subject) == sorted(rows, key=lambda row: row["serial"])
        taken_in(second, subject, written_out(first, subject, form), form)
        assert written_out(second, subject, form) == written_out(first, subject, form)
