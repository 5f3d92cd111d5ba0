"""Judging events before they are recorded: what must be looked up for it, and how a refusal is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sqlalchemy import Connection

from service.domain.ledger.event import Event, EventKind, Subject, SubjectKind
from service.domain.recording.correcting import undone_by
from service.domain.recording.refusal import Judge, Refusal
from service.domain.recording.surroundings import boards_beside, units_behind
from service.store.book import Book
from service.store.errors import NotCorrectable, NotLegal
from service.store.gather import gather
from service.store.ledger import streams

BY_NUMBER = ("withdraws", "placed")
"""Fields of an event that name another by its number."""


def look_around(connection: Connection, book: Book, events: Sequence[Event]) -> None:
    """Look up what these events are judged by, beside their subjects; those are in the book."""
    beside = boards_beside(book.states, events)
    book.look_up(connection, beside)
    boards = {who.serial for event in events for who in event.subjects if who.kind is SubjectKind.BOARD}
    boards |= {who.serial for who in beside}
    book.look_up(connection, units_behind(book.states, events, boards))


def refuse_illegal(connection: Connection, book: Book, judge: Judge, position: int, event: Event) -> None:
    """Raise NotLegal, or NotCorrectable for a correction that would leave a later event illegal."""
    refusals = judge(book.states, event)
    if refusals:
        boards = [who.serial for who in event.subjects if who.kind is SubjectKind.BOARD]
        units = [who.serial for who in event.subjects if who.kind is SubjectKind.UNIT]
        told = tuple(_by_place_in_call(each, event.seq - position, event.seq) for each in refusals)
        raise NotLegal(position, told, records=gather(connection, boards, units))
    if event.kind == EventKind.CORRECTED:
        _refuse_undoing(connection, book, judge, event)


def _by_place_in_call(refusal: Refusal, first: int, here: int) -> Refusal:
    """An event of the same call has no number, as nothing of the call is recorded: its place there is told,
    and nobody is told to take it back by number."""
    taken = {str(seq): f"#/events/{seq - first}" for seq in range(first, here)}
    facts = {name: taken.get(fact, fact) if name == "event" else fact for name, fact in refusal.facts.items()}
    kept = tuple(
        each for each in refusal.instead if not any(str(each.data.get(by)) in taken for by in BY_NUMBER)
    )
    return replace(refusal, facts=facts, instead=kept)


def _refuse_undoing(connection: Connection, book: Book, judge: Judge, correction: Event) -> None:
    around = _with_units(connection, book, set(correction.subjects))
    mattering = _with_units(connection, book, _spoken_of(_told(connection, book, around)))
    undone = undone_by(correction, _told(connection, book, mattering), around, judge)
    if undone is not None:
        seq = correction.data["withdraws"]
        raise NotCorrectable(seq, "later_event", later=undone.event.seq, refusals=undone.refusals)


def _with_units(connection: Connection, book: Book, subjects: set[Subject]) -> set[Subject]:
    """These, and every unit that their events speak of: what was done there may have been done with them."""
    told = _spoken_of(_told(connection, book, subjects))
    return subjects | {who for who in told if who.kind is SubjectKind.UNIT}


def _told(connection: Connection, book: Book, subjects: set[Subject]) -> list[Event]:
    """All events that speak of these, as recorded and as taken since, in order."""
    return streams(connection, subjects) + [e for e in book.events if not subjects.isdisjoint(e.subjects)]


def _spoken_of(events: Sequence[Event]) -> set[Subject]:
    return {who for event in events for who in event.subjects}
