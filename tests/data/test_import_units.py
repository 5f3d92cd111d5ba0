"""A line of units becomes a registration with the boards that the factory fitted."""

from __future__ import annotations

from pathlib import Path

from service.demo import serials as s
from tests.data.commands import csv_file, events_of, faults, said
from tests.data.conftest import Command

UNIT = s.DONOR_PLOVER_60
BUMPER = s.board_serial("B62", 2022, 8, 117)


def test_plate_papers_and_boards_are_registered(command: Command, shop_url: str, tmp_path: Path) -> None:
    header = "Serial;Model;Market;Made On;registered-on;MAIN;panel;Bumper left;bumper.right"
    row = f"{UNIT};plover-60;Mainland;2022-03-21;2025-01-02;{s.USED_MAIN_60};{s.USED_PANEL_60};;{BUMPER}"
    done = command("import", "units", csv_file(tmp_path / "u.csv", header, row))
    assert (done.status, done.err) == (0, "")
    (event,) = events_of(shop_url)
    assert event.occurred_at.isoformat() == "2025-01-02T00:00:00+00:00"
    assert said(event) == (
        "registered",
        {
            "unit": UNIT,
            "model": "plover-60",
            "market": "mainland",
            "made_on": "2022-03-21",
            "boards": [
                {"board": s.USED_MAIN_60, "role": "main", "part": "MN-4100", "policy": "names"},
                {"board": s.USED_PANEL_60, "role": "panel", "part": "PN-2400", "policy": "follows"},
                {
                    "board": BUMPER,
                    "role": "bumper",
                    "place": "right",
                    "part": "BP-6200",
                    "policy": "free",
                },
            ],
        },
    )


def test_a_serial_alone_is_enough(command: Command, shop_url: str, tmp_path: Path) -> None:
    done = command("import", "units", csv_file(tmp_path / "u.csv", "serial", "tm pm 2212 0004 6", "X-1"))
    assert done.status == 0
    assert [said(event) for event in events_of(shop_url)] == [
        ("registered", {"unit": UNIT}),
        ("registered", {"unit": "X1"}),
    ]


def test_each_place_is_a_column_of_its_own(command: Command) -> None:
    done = command("import", "units", "--columns")
    names = [line.split()[0] for line in done.out.splitlines()]
    assert names == [
        *("serial", "model", "market", "made_on", "registered_on"),
        *("main", "panel", "position", "radio", "bumper.left", "bumper.right", "lift", "rain", "lamp"),
    ]


def test_what_is_wrong_is_told_by_column(command: Command, shop_url: str, tmp_path: Path) -> None:
    header = "serial,model,market,made_on,main,panel,lamp"
    lines = (
        f"{UNIT},plover-66,atlantis,21.3.2022,{s.USED_PANEL_60},TBN2422070060C,",
        f"{s.USED_MAIN_60},,,,,,",
        f"{s.CUSTOMER_PLOVER_40},plover-40,,,{s.USED_MAIN_60},{s.USED_MAIN_60},",
        f"{s.CUSTOMER_PLOVER_40},plover-40,,,{s.USED_MAIN_60},,",
    )
    done = command("import", "units", csv_file(tmp_path / "u.csv", header, *lines))
    assert faults(done) == [
        '2: made_on: is no day "21.3.2022": write it as 2025-03-31',
        '2: model: the catalogue has no model "plover-66": did you mean plover-60?',
        '2: market: the catalogue has no market "atlantis": use one of isles, mainland',
        '2: panel: "TBN2422070060C": it cannot be right, read character 14 of the label again',
        f'3: serial: "{s.USED_MAIN_60}" is the serial of a board, not a unit\'s',
        "4: panel: the part MN-4100 is for the role main: leave one of them out",
    ]
    assert [event.data["unit"] for event in events_of(shop_url)] == [s.CUSTOMER_PLOVER_40]


def test_a_board_that_sits_elsewhere_is_refused_with_the_way_on(
    command: Command, shop_url: str, tmp_path: Path
) -> None:
    lines = (f"{UNIT},{s.USED_MAIN_60}", f"{s.CUSTOMER_PLOVER_60},{s.USED_MAIN_60}")
    done = command("import", "units", csv_file(tmp_path / "u.csv", "serial,main", *lines))
    (reason,) = faults(done)
    assert reason.startswith(f"3: The main board {s.USED_MAIN_60} is recorded in the Plover 60 {UNIT}")
    assert '. Record first: found {"board": ' in reason
    assert len(events_of(shop_url)) == 1
