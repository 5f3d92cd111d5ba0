"""A line of boards becomes the events that its columns tell, or is refused with all that is wrong with it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.demo import serials as s
from tests.data.commands import csv_file, events_of, faults, ndjson_file, said
from tests.data.conftest import Command

HEADER = "serial,part,binding,bound_model,holds,release,condition,exposed_to,tested,in_custody,received_on"


def line(**cells: str) -> str:
    return ",".join(cells.get(name, "") for name in HEADER.split(","))


def told(command: Command, shop_url: str, tmp_path: Path, **cells: str) -> list[tuple[str, Any]]:
    """The events of one line that is taken in."""
    done = command("import", "boards", csv_file(tmp_path / "b.csv", HEADER, line(**cells)))
    assert (done.status, done.err) == (0, "")
    return [said(event) for event in events_of(shop_url)]


MAIN = {"board": s.BLANK_MAIN, "part": "MN-4100"}
RECEIVED = ("received", MAIN)


@pytest.mark.parametrize(
    ("cells", "events"),
    [
        ({}, [RECEIVED]),
        ({"part": "MN-4100", "in_custody": "yes", "condition": "usable", "tested": "no"}, [RECEIVED]),
        ({"in_custody": "no"}, [("registered", MAIN)]),
        ({"binding": "blank"}, [("received", {**MAIN, "binding": "blank"})]),
        ({"binding": "used"}, [("received", {**MAIN, "binding": "used"})]),
        (
            {"binding": "bound", "bound_model": "Plover-60", "holds": s.DONOR_PLOVER_60, "release": "1.1.0"},
            [
                (
                    "received",
                    {
                        **MAIN,
                        "binding": "bound",
                        "bound_model": "plover-60",
                        "holds": s.DONOR_PLOVER_60,
                        "release": "1.1.0",
                    },
                )
            ],
        ),
        (
            {"bound_model": "plover-60", "holds": "None"},
            [("received", {**MAIN, "binding": "bound", "bound_model": "plover-60", "holds": ""})],
        ),
        ({"tested": "YES"}, [RECEIVED, ("tested", {"board": s.BLANK_MAIN, "passed": True})]),
        ({"condition": "Failed"}, [RECEIVED, ("tested", {"board": s.BLANK_MAIN, "passed": False})]),
        (
            {"condition": "exposed", "exposed_to": "Water"},
            [RECEIVED, ("exposed", {"board": s.BLANK_MAIN, "to": "water"})],
        ),
        (
            {"condition": "maybe exposed", "exposed_to": "fire"},
            [RECEIVED, ("exposed", {"board": s.BLANK_MAIN, "to": "fire", "certain": False})],
        ),
        (
            {"condition": "scrapped", "tested": "n"},
            [RECEIVED, ("scrapped", {"board": s.BLANK_MAIN})],
        ),
    ],
)
def test_a_line_becomes_its_events(
    command: Command, shop_url: str, tmp_path: Path, cells: dict[str, str], events: list[tuple[str, Any]]
) -> None:
    assert told(command, shop_url, tmp_path, serial=s.BLANK_MAIN, **cells) == events


def test_the_day_is_the_day_of_all_of_them(command: Command, shop_url: str, tmp_path: Path) -> None:
    told(command, shop_url, tmp_path, serial=s.BLANK_MAIN, tested="yes", received_on="2025-03-31")
    moments = {event.occurred_at.isoformat() for event in events_of(shop_url)}
    assert moments == {"2025-03-31T00:00:00+00:00"}


@pytest.mark.parametrize("written", ["tb-m41-24-38-2004-f", "TB M41 2438 2004 F", "TBM41 24382OO4F"])
def test_a_serial_may_be_written_as_people_write_it(
    command: Command, shop_url: str, tmp_path: Path, written: str
) -> None:
    assert told(command, shop_url, tmp_path, serial=written) == [RECEIVED]


def test_a_serial_of_no_known_scheme_is_taken(command: Command, shop_url: str, tmp_path: Path) -> None:
    cells = {"serial": "ZZ-1", "part": "MN-4100"}
    assert told(command, shop_url, tmp_path, **cells) == [("received", {"board": "ZZ1", "part": "MN-4100"})]


HEADERS = [
    "serial,part,bound_model",
    "SERIAL,Part,Bound Model",
    " Serial , PART , bound-model ",
    "\N{BYTE ORDER MARK}serial,part,BoundModel",
    "bound.model;serial;part",
    "part\tbound_model\tserial",
]


@pytest.mark.parametrize("header", HEADERS)
def test_headers_are_free_in_case_order_and_style(
    command: Command, shop_url: str, tmp_path: Path, header: str
) -> None:
    delimiter = next(each for each in ";\t," if each in header)
    values = {"s": s.USED_MAIN_60, "p": "MN-4100", "b": "plover-60"}
    row = delimiter.join(
        values[cell.strip(" \N{BYTE ORDER MARK}").lower()[0]] for cell in header.split(delimiter)
    )
    done = command("import", "boards", csv_file(tmp_path / "b.csv", header, row))
    assert done.status == 0
    (event,) = events_of(shop_url)
    assert event.data == {
        "board": s.USED_MAIN_60,
        "part": "MN-4100",
        "binding": "bound",
        "bound_model": "plover-60",
    }


KNOWN = ", ".join(sorted(HEADER.split(",")))


@pytest.mark.parametrize(
    ("header", "reason"),
    [
        ("serial,colour", f'there is no column "colour": use one of {KNOWN}'),
        ("serial,recieved_on", 'there is no column "recieved_on": did you mean received_on?'),
        ("part,binding", "the column serial is missing"),
        ("serial,part,Serial", 'the column "Serial" stands there twice: keep one of them'),
        ("sreial", 'there is no column "sreial": did you mean serial?; the column serial is missing'),
    ],
)
def test_a_wrong_header_is_told_once_and_nothing_is_read(
    command: Command, shop_url: str, tmp_path: Path, header: str, reason: str
) -> None:
    done = command("import", "boards", csv_file(tmp_path / "b.csv", header, *["x,y"] * 3))
    assert (done.status, done.err) == (2, f"error: {tmp_path / 'b.csv'}: {reason}\n")
    assert events_of(shop_url) == []


UNIT_SERIAL = f'serial: "{s.DONOR_PLOVER_60}" is the plate serial of a unit, not a board\'s'
MISREAD = 'serial: "TBM4122080117Y": it cannot be right, read character 14 of the label again'
NO_PART = 'part: the catalogue has no part "MN-4101": did you mean MN-4100?'
NO_MODEL = 'bound_model: the catalogue has no model "plover-4": did you mean plover-40?'
NO_FLAG = 'tested: cannot be "perhaps": write yes or no'
NO_BOUND_MODEL = "is empty: name the model that the board is bound to, or write used for its binding"
TOLD_AS_BLANK = "cannot be told of a board that is blank: write bound, or clear it"
NOT_EXPOSED = "is told of a board that is usable: write exposed or maybe_exposed, or clear it"
NOT_TESTED = "a board that is failed has passed no test since: write no, or another condition"
IN_FUTURE = "lies in the future: record what has happened, or leave it out for now"
BAD_LINES: list[tuple[dict[str, str], list[str]]] = [
    ({"serial": "", "part": "MN-4100"}, ["serial: is empty: it is needed"]),
    ({"serial": "TBM4122080117Y"}, [MISREAD]),
    ({"serial": s.DONOR_PLOVER_60}, [UNIT_SERIAL]),
    ({"serial": "- - -"}, ["serial: holds no letter or digit: read the label again"]),
    ({"part": "MN-4101"}, [NO_PART]),
    ({"bound_model": "plover-4"}, [NO_MODEL]),
    ({"binding": "blanc"}, ['binding: cannot be "blanc": did you mean blank?']),
    ({"binding": "bound"}, [f"bound_model: {NO_BOUND_MODEL}"]),
    ({"binding": "blank", "bound_model": "plover-40"}, [f"bound_model: {TOLD_AS_BLANK}"]),
    (
        {"binding": "blank", "holds": s.DONOR_PLOVER_60},
        ["holds: a blank board holds no serial: clear one of the two"],
    ),
    ({"condition": "exposed"}, ["exposed_to: is empty: write water, lightning or fire"]),
    ({"exposed_to": "water"}, [f"exposed_to: {NOT_EXPOSED}"]),
    ({"condition": "failed", "tested": "yes"}, [f"tested: {NOT_TESTED}"]),
    ({"tested": "perhaps"}, [NO_FLAG]),
    ({"received_on": "31.3.2025"}, ['received_on: is no day "31.3.2025": write it as 2025-03-31']),
    ({"received_on": "9999-12-31"}, [f"received_on: {IN_FUTURE}"]),
    ({"release": "x" * 65}, ["release: has 65 characters: at most 64 are taken"]),
    ({"release": "1\x00"}, ["release: holds a character that cannot be printed: type it again"]),
    (
        {"serial": "TBM4122080117Y", "part": "MN-4101", "tested": "perhaps", "bound_model": "plover-4"},
        [NO_FLAG, MISREAD, NO_PART, NO_MODEL],
    ),
]


def test_every_bad_line_is_told_with_all_that_is_wrong_and_the_good_ones_stand(
    command: Command, shop_url: str, tmp_path: Path
) -> None:
    bad = [line(**{"serial": s.USED_MAIN_UNKNOWN, **cells}) for cells, _ in BAD_LINES]
    lines = (line(serial=s.BLANK_MAIN), *bad, line(serial=s.USED_MAIN_60))
    done = command("import", "boards", csv_file(tmp_path / "b.csv", HEADER, *lines))
    wrong = enumerate((reasons for _, reasons in BAD_LINES), 3)
    assert faults(done) == [f"{at}: {reason}" for at, reasons in wrong for reason in reasons]
    assert done.status == 1
    assert f"2 taken in, 0 there already, {len(BAD_LINES)} refused" in done.out
    assert {event.data["board"] for event in events_of(shop_url)} == {s.BLANK_MAIN, s.USED_MAIN_60}


def test_what_the_ledger_forbids_is_refused_in_words(command: Command, shop_url: str, tmp_path: Path) -> None:
    scrapped = line(serial=s.SCRAPPED_MAIN, condition="scrapped")
    again = line(serial=s.SCRAPPED_MAIN, part="MN-4100", tested="yes")
    done = command("import", "boards", csv_file(tmp_path / "b.csv", HEADER, scrapped, again))
    (reason,) = faults(done)
    assert reason == (
        f"3: The main board {s.SCRAPPED_MAIN} was scrapped by event 2. "
        'Record first: corrected {"withdraws": 2}'
    )
    assert [event.kind for event in events_of(shop_url)] == ["received", "scrapped"]


def test_of_a_line_with_several_events_all_stand_or_none(
    command: Command, shop_url: str, tmp_path: Path
) -> None:
    """The second event of the second line is not the one that is refused, and the first must not stay."""
    lines = [line(serial=s.SCRAPPED_MAIN, condition="scrapped", in_custody="no")]
    lines += [line(serial=s.SCRAPPED_MAIN, condition="failed"), line(serial=s.BLANK_MAIN)]
    command("import", "boards", csv_file(tmp_path / "b.csv", HEADER, *lines))
    events = events_of(shop_url)
    assert [event.kind for event in events] == ["registered", "scrapped", "received"]
    assert [event.seq for event in events] == [1, 2, 3]


def test_ndjson_says_the_same(command: Command, shop_url: str, tmp_path: Path) -> None:
    lines = [
        {"Serial": s.BLANK_MAIN, "binding": "blank", "tested": True, "in-custody": False, "part": None},
        {"serial": s.USED_MAIN_60, "colour": "red"},
        {"part": "MN-4100"},
        {"serial": 17},
        {"serial": s.USED_MAIN_60, "tested": 1, "release": 1.1},
    ]
    done = command("import", "boards", ndjson_file(tmp_path / "b.ndjson", lines))
    assert [said(event) for event in events_of(shop_url)] == [
        ("registered", {**MAIN, "binding": "blank"}),
        ("tested", {"board": s.BLANK_MAIN, "passed": True}),
    ]
    assert [reason.partition(":")[0] for reason in faults(done)] == ["2", "3", "4", "5"]
    assert faults(done)[2:] == [
        "4: serial: must be text: put it in quotation marks",
        "5: release: must be text: put it in quotation marks",
    ]
