"""What was done, as it is sent, and what happened, as it is told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import fields

from service.api.edge.paging import DEFAULT_SIZE, MAX_SIZE
from service.api.schemas.codes import told
from service.api.schemas.common import (
    a_flag,
    a_number,
    a_text,
    a_text_by_name,
    an,
    some,
    some_texts,
    the_next_cursor,
)
from service.api.schemas.fields import Group, In, Out, QueryWhole, Several, Text, Whole
from service.api.schemas.problem import ProblemOut
from service.api.schemas.told import AnEvent
from service.api.schemas.units import FittedIn
from service.words.event_texts import MEANINGS
from service.words.recording_texts import MEANINGS as REFUSALS

MOST_EVENTS = 64
MOST_NUMBER = 2**31 - 1
KIND = f"What happened. More kinds may come. {told(MEANINGS)}"


def a_moment(description: str) -> fields.AwareDateTime:
    """A moment of an answer."""
    return fields.AwareDateTime(required=True, metadata={"description": description})


class ExpectedVersion(In):
    """The version of a board or unit that the caller has seen."""

    board = Text(metadata={"description": "The board's serial. Give it, or `unit`."})
    unit = Text(metadata={"description": "The unit's serial. Give it, or `board`."})
    version = Whole(
        least=0,
        most=MOST_NUMBER,
        required=True,
        metadata={"description": "Its version; 0 where nothing was recorded of it."},
    )

    def faults(self, data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        if ("board" in data) == ("unit" in data):
            yield "board", "give a board or a unit, and not both"


class NewEvents(In):
    """The events of one job, in the order in which they happened. All are recorded, or none."""

    events = Several(
        AnEvent(),
        least=1,
        most=MOST_EVENTS,
        required=True,
        metadata={"description": "What was done."},
    )
    expected = Several(
        Group(ExpectedVersion),
        most=2 * MOST_EVENTS,
        load_default=(),
        metadata={
            "description": "What the caller relies on: where one has another version by now, nothing is "
            "recorded. A board or unit that is not named here is not compared."
        },
    )


class SubjectVersion(Out):
    """A board or unit with its version; it can be sent back in `expected`."""

    board = a_text("The board's serial.", longest=64, required=False, example="TBM4124382004F")
    unit = a_text("The unit's serial.", longest=64, required=False, example="TMPL23140032M")
    version = a_number("How many events speak of it.", most=MOST_NUMBER)


class EventOut(Out):
    """One event of the ledger. It never changes and is never taken out."""

    seq = a_number("Its number, from 1 without gaps, in the order of recording.", most=MOST_NUMBER)
    kind = a_text(KIND, longest=64, example="fitted")
    occurred_at = a_moment("When it happened, as stated.")
    recorded_at = a_moment("When it was recorded, by the database's clock.")
    subjects = some(SubjectVersion, "Whom it speaks of, each with its version by this event.", most=1_000)
    data = fields.Dict(
        keys=fields.String(metadata={"maxLength": 64}),
        required=True,
        metadata={
            "description": "What is told of it: the fields of its kind, with serials compacted and what was "
            "left out filled in; `policy` is what the part does with the identity of the unit."
        },
    )
    text = a_text("The same in words.", longest=10_000)


class AnswerGiven(Out):
    """An answer that rested on what is withdrawn now: somebody may have to be told."""

    seq = a_number("The number of its event.", most=MOST_NUMBER)
    kind = a_text("`sale_checked` or `sold`.", longest=64)
    check = a_text("The id of the sale check.", longest=64, required=False)
    board = a_text("The board that it was about.", longest=64)
    unit = a_text("The unit that it was meant for.", longest=64, required=False)
    recorded_at = a_moment("When.")


class RecordedEvents(Out):
    """What was recorded."""

    events = some(EventOut, "The events in the order in which they were sent.", most=MOST_EVENTS)
    versions = some(
        SubjectVersion, "Every board and unit that they speak of, with its version now.", most=10_000
    )
    answers_given = some(
        AnswerGiven, "Where an event was withdrawn: the answers about its boards since then.", required=False
    )


class FeedQuery(In):
    """Where to go on in the feed."""

    after = QueryWhole(
        least=0,
        most=999_999_999,
        load_default=0,
        metadata={"description": "The number of the last event that is known; 0 for all.", "example": 0},
    )
    page_size = QueryWhole(
        least=1,
        most=MAX_SIZE,
        load_default=DEFAULT_SIZE,
        metadata={"description": "How many events to show at most.", "example": 20},
    )


class EventPage(Out):
    """Events in the order in which they were recorded."""

    items = some(EventOut, "The events.", most=MAX_SIZE)
    next_after = a_number(
        "Ask again with it as `after`: later events come, none is missed, none comes twice.", most=MOST_NUMBER
    )


class Withdrawn(Out):
    """That an event was taken back later."""

    by = a_number("The number of the correction.", most=MOST_NUMBER)
    reason = a_text("Why.", longest=500)


class HistoryEvent(EventOut):
    """An event in the history of a board or unit."""

    version = a_number("The version of that board or unit by this event.", most=MOST_NUMBER)
    withdrawn = an(Withdrawn, "Where a later event took it back: it counts no more.", required=False)


class HistoryPage(Out):
    """What happened to one board or unit, oldest first."""

    board = a_text("The board's serial, compacted.", longest=64, required=False)
    unit = a_text("The unit's serial, compacted.", longest=64, required=False)
    items = some(HistoryEvent, "What happened.", most=MAX_SIZE)
    next_cursor = the_next_cursor()


class BoardNow(Out):
    """A board as it is recorded now."""

    board = a_text("Its serial.", longest=64)
    version = a_number("How many events speak of it.", most=MOST_NUMBER)
    bound_models = some_texts("The models that it may be bound to, permanently; absent: any.", required=False)
    may_be_blank = fields.Boolean(metadata={"description": "Whether it may be blank; absent: it may."})
    contradiction = fields.Boolean(
        metadata={"description": "Whether records of its binding contradict each other."}
    )
    fitted_in = an(FittedIn, "The unit that it sits in.", required=False)
    text = a_text("The same in words.", longest=2_000)


class SeatNow(Out):
    """A place of a unit and the board that is recorded in it."""

    role = a_text("The role.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    board = a_text("The board's serial.", longest=64)


class UnitNow(Out):
    """A unit as it is recorded now."""

    unit = a_text("Its serial.", longest=64)
    version = a_number("How many events speak of it.", most=MOST_NUMBER)
    model = a_text("Its model.", longest=64, required=False, example="plover-40")
    in_service = a_flag("Registered, and not dismantled, scrapped or converted.")
    boards = some(SeatNow, "The boards that are recorded in it.", most=256)
    text = a_text("The same in words.", longest=2_000)


class Now(Out):
    """What is true now."""

    boards = some(BoardNow, "The boards concerned.", most=10_000)
    units = some(UnitNow, "The units concerned.", most=10_000)


class InsteadOut(Out):
    """An event that would be right. It is sent as it is, once what only a person knows is added."""

    kind = a_text("Its kind.", longest=64, example="found")
    data = fields.Dict(
        keys=fields.String(metadata={"maxLength": 64}),
        required=True,
        metadata={"description": "What to tell of it, as in the request."},
    )


class Against(Out):
    """One thing that stands against an event."""

    code = a_text(f"What it is. More codes may come. {told(REFUSALS)}", longest=64)
    facts = a_text_by_name("What stands against it: serials, places, models, numbers of events.")
    text = a_text("The same in words.", longest=1_000)


class ConflictOut(ProblemOut):
    """What was sent is right by itself, and the ledger says otherwise: what is true now, and what to do."""

    position = a_number("Which of the events it is about, from 0.", required=False, most=MOST_EVENTS)
    refusals = some(Against, "What stands against that event.", required=False, most=100)
    now = an(Now, "What is true now.", required=False)
    instead = some(InsteadOut, "What to record first, or instead.", required=False, most=100)
