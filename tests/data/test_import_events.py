"""Events out of a file: written down elsewhere, or the history of another ledger, word for word."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import orjson
import pytest

from service.demo import serials as s
from service.usecases.importing.renumbering import Renumbering
from tests.data.commands import csv_file, events_of, faults, ndjson_file, said
from tests.data.conftest import Command

WHEN = "2025-03-31T10:30:00+02:00"


def told(kind: str, seq: int | None = None, **data: Any) -> dict[str, Any]:
    """A line; with a number it is history."""
    history = {"seq": seq, "recorded_at": "2025-04-01T00:00:00Z"} if seq else {}
    return {"kind": kind, "occurred_at": WHEN, "data": data, **history}


RECEIVED = told("received", board="tb-m41-24-38-2004-f", binding="blank")


def test_what_somebody_wrote_down_is_completed(command: Command, shop_url: str, tmp_path: Path) -> None:
    lines = [
        told("registered", unit=s.CUSTOMER_PLOVER_60, model="plover-60"),
        RECEIVED,
        told("fitted", unit=s.CUSTOMER_PLOVER_60, board=s.BLANK_MAIN),
    ]
    done = command("import", "events", ndjson_file(tmp_path / "e.ndjson", lines))
    assert (done.status, done.err) == (0, "")
    last = events_of(shop_url)[-1]
    assert last.occurred_at.isoformat() == "2025-03-31T08:30:00+00:00"
    assert last.data == {
        "unit": s.CUSTOMER_PLOVER_60,
        "board": s.BLANK_MAIN,
        "role": "main",
        "policy": "names",
        "model": "plover-60",
    }


def test_csv_carries_the_data_as_json(command: Command, shop_url: str, tmp_path: Path) -> None:
    data = orjson.dumps({"board": s.BLANK_MAIN, "binding": "blank"}).decode().replace('"', '""')
    done = command(
        "import",
        "events",
        csv_file(tmp_path / "e.csv", "data,kind,occurred at", f'"{data}",Received,2025-03-31'),
    )
    assert (done.status, done.err) == (0, "")
    (event,) = events_of(shop_url)
    assert said(event) == ("received", {"board": s.BLANK_MAIN, "binding": "blank", "part": "MN-4100"})


def test_what_is_wrong_is_told_by_its_place_in_the_data(
    command: Command, shop_url: str, tmp_path: Path
) -> None:
    lines = [
        {**RECEIVED, "kind": "recieved"},
        {**RECEIVED, "occurred_at": "2025-03-31T10:30"},
        {**RECEIVED, "occurred_at": "9999-12-31T23:59:59-23:00"},
        {**RECEIVED, "data": "{'board': 1}"},
        {**RECEIVED, "data": [1]},
        {**RECEIVED, "seq": "0"},
        told("received", board=s.BLANK_MAIN, colour="red", part=5),
        told("received", part="MN-4100"),
        told("tested", board="TBM4122080117Y", passed=True),
        told("registered", unit=s.DONOR_PLOVER_60, boards=[{"board": s.USED_MAIN_60, "role": "mian"}]),
        told("hold_lifted", board=s.BLANK_MAIN, placed=2**31, confirmed_by="owner", evidence="letter"),
        told("corrected", withdraws=7, reason="mistyped"),
    ]
    done = command("import", "events", ndjson_file(tmp_path / "e.ndjson", lines))
    # What the JSON reader says further is its own, and changes with its version.
    assert [reason.partition(" unexpected character")[0] for reason in faults(done)] == [
        '1: kind: cannot be "recieved": did you mean received?',
        '2: occurred_at: tells no time zone, "2025-03-31T10:30": add Z for UTC, or the offset',
        "3: occurred_at: lies outside of the calendar",
        "4: data: no JSON at character 2:",
        '5: data: must be a JSON object such as {"board": "...", "passed": true}',
        "6: seq: is not between 1 and 2,147,483,647",
        "7: data.colour: is no field of this kind: leave it out",
        "7: data.part: is of the wrong type: see the document",
        "8: data.board: is missing: give it, nothing else tells it",
        '9: data.board: "TBM4122080117Y": it cannot be right, read character 14 of the label again',
        '10: data.boards.0.role: the catalogue has no role "mian": did you mean main?',
        "11: data.placed: cannot stand here: see the document",
        "12: event 7 cannot be withdrawn: there is no event of this number: look it up in the history",
    ]
    assert events_of(shop_url) == []


def test_history_is_taken_word_for_word(command: Command, shop_url: str, tmp_path: Path) -> None:
    """Neither part nor model is the catalogue's, and nothing is filled in: it meant that back then."""
    data = {"board": s.BLANK_MAIN, "part": "OLD-1", "binding": "bound", "bound_model": "gone-1"}
    done = command("import", "events", ndjson_file(tmp_path / "e.ndjson", [told("received", 5, **data)]))
    assert (done.status, done.err) == (0, "")
    assert [said(event) for event in events_of(shop_url)] == [("received", data)]


def held(seq: int) -> dict[str, Any]:
    return told("hold_placed", seq, board=s.BLANK_MAIN, hold="recalled")


def lifted(seq: int, placed: int) -> dict[str, Any]:
    return told(
        "hold_lifted", seq, board=s.BLANK_MAIN, placed=placed, confirmed_by="maker", evidence="a letter"
    )


def test_numbers_of_a_file_become_those_of_the_ledger(
    command: Command, shop_url: str, tmp_path: Path
) -> None:
    first = ndjson_file(tmp_path / "first.ndjson", [told("registered", unit="X1")])
    lines = [
        told("received", 11, board=s.BLANK_MAIN),
        held(12),
        told("scrapped", 13, board=s.BLANK_MAIN),
        told("received", 14, board=s.BLANK_MAIN, part="MN-4100"),
        lifted(15, 12),
        told("corrected", 16, withdraws=13, reason="another one"),
    ]
    assert command("import", "events", first).status == 0
    done = command("import", "events", ndjson_file(tmp_path / "e.ndjson", lines))
    assert [reason.partition(":")[0] for reason in faults(done)] == ["4"]
    told_here = [(event.seq, event.kind, event.data) for event in events_of(shop_url)][1:]
    assert [(seq, kind) for seq, kind, _ in told_here] == [
        (2, "received"),
        (3, "hold_placed"),
        (4, "scrapped"),
        (5, "hold_lifted"),
        (6, "corrected"),
    ]
    assert told_here[3][2]["placed"] == 3
    assert told_here[4][2]["withdraws"] == 4


def test_what_refers_to_a_refused_event_is_refused(command: Command, shop_url: str, tmp_path: Path) -> None:
    lines = [
        told("received", 1, board=s.BLANK_MAIN),
        told("scrapped", 2, board=s.BLANK_MAIN),
        told("received", 3, board=s.BLANK_MAIN),
        told("corrected", 4, withdraws=3, reason="mistyped"),
        lifted(5, 9),
        told("tested", 5, board=s.USED_MAIN_60, passed=True),
    ]
    done = command("import", "events", ndjson_file(tmp_path / "e.ndjson", lines))
    missing = "that event was refused, or is not in the file before this line: bring it in first"
    assert faults(done)[1:] == [
        f"4: data.withdraws: refers to the event 3: {missing}",
        f"5: data.placed: refers to the event 9: {missing}",
        "6: seq: 5 comes after 5: leave the lines of an export in their order",
    ]
    assert len(events_of(shop_url)) == 2


def test_an_event_rests_on_what_was_taken_in_and_not_on_what_was_refused(
    command: Command, shop_url: str, tmp_path: Path
) -> None:
    """The second registration is refused, so the model of the unit is still the first one's."""
    unit = s.CUSTOMER_PLOVER_60
    lines = [
        told("registered", unit=unit, model="plover-60", boards=[{"board": s.USED_MAIN_60, "role": "main"}]),
        told("removed", unit=unit, board=s.USED_MAIN_60),
        told("registered", unit=unit, model="plover-40", boards=[{"board": s.USED_MAIN_60, "role": "main"}]),
        told("fitted", unit=unit, board=s.BLANK_MAIN),
    ]
    done = command("import", "events", ndjson_file(tmp_path / "e.ndjson", lines))
    assert [reason.partition(":")[0] for reason in faults(done)] == ["3"]
    assert events_of(shop_url)[-1].data["model"] == "plover-60"


@pytest.mark.parametrize("gap", [0, 3])
def test_renumbering_keeps_stretches_and_not_numbers(gap: int) -> None:
    numbers = Renumbering()
    for number in range(1, 1001):
        if number % 500:
            numbers.note(number, number + 7 + (gap if number > 500 else 0))
    assert numbers.seq_of(1) == 8
    assert numbers.seq_of(499) == 506
    assert (numbers.seq_of(500), numbers.seq_of(1000), numbers.seq_of(0)) == (None, None, None)
    assert numbers.seq_of(999) == 1006 + gap
