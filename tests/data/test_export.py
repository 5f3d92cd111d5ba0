"""Files are whole or not there, of one moment, and safe to open."""

from __future__ import annotations

import csv
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import orjson
import pytest
from sqlalchemy import Engine

from service.api.present.events import feed as shown
from service.api.present.wording import wording
from service.demo import serials as s
from service.demo.making import fill
from service.files.rows import Form
from service.files.whole import whole_file
from service.store.engine import reading, snapshot
from service.store.feed import feed
from service.usecases.exporting.boards import board_rows
from service.usecases.importing.source import Subject
from tests.data.commands import csv_file
from tests.data.conftest import Command
from tests.data.copying import COMPILED, new_ledger, rows_out, taken_in
from tests.data.running import ROOT
from tests.ledger.telling import draft
from tests.store.ledgers import tell


def test_a_file_is_written_and_told_of(command: Command, tmp_path: Path) -> None:
    command("import", "boards", csv_file(tmp_path / "b.csv", "serial", s.BLANK_MAIN))
    done = command("export", "boards", "-o", "out.csv")
    assert (done.status, done.out, done.err) == (0, "out.csv: 1 boards written\n", "")
    with (tmp_path / "out.csv").open(newline="") as stream:
        (row,) = csv.DictReader(stream)
    assert (row["serial"], row["part"], row["condition"]) == (s.BLANK_MAIN, "MN-4100", "usable")
    assert not (tmp_path / "out.csv.part").exists()


def test_without_a_file_it_goes_to_standard_output(shop_url: str) -> None:
    command = [sys.executable, "-m", "service", "export", "units", "--format", "csv"]
    environment = {**os.environ, "BOARDFIT_DATABASE_URL": shop_url, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, env=environment, capture_output=True, check=True)
    assert done.stdout.startswith(b"serial,model,market,made_on,registered_on,main,panel,")
    assert done.stdout.count(b"\n") == 1
    assert done.stderr == b""


@pytest.mark.parametrize(("name", "form"), [("a.csv", Form.CSV), ("a.ndjson", Form.NDJSON), ("a", Form.CSV)])
def test_the_name_tells_the_form(command: Command, tmp_path: Path, name: str, form: Form) -> None:
    command("import", "units", csv_file(tmp_path / "u.csv", "serial", s.DONOR_PLOVER_60))
    assert command("export", "units", "-o", name).status == 0
    content = (tmp_path / name).read_bytes()
    assert content.startswith(b"serial," if form is Form.CSV else b'{"serial":')


def test_a_file_that_fails_is_not_there_and_the_one_before_stays(tmp_path: Path) -> None:
    path = tmp_path / "out.csv"
    path.write_bytes(b"before")
    with pytest.raises(RuntimeError), whole_file(path) as stream:
        stream.writelines(_breaking_off())
    assert path.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [path]


def _breaking_off() -> Iterator[bytes]:
    yield b"half"
    raise RuntimeError


@pytest.mark.parametrize("where", ["no/where.csv", ".", "folder"])
def test_a_file_that_cannot_be_written_is_told_of(command: Command, tmp_path: Path, where: str) -> None:
    (tmp_path / "folder").mkdir()
    done = command("export", "boards", "-o", where)
    assert done.status == 2
    assert done.err.startswith("error: cannot write ")
    assert list(tmp_path.rglob("*.part")) == []


def test_all_rows_are_of_one_moment(engine: Engine) -> None:
    """Boards that come while a file is written are not in it, on either database."""
    tell(engine, *(draft("received", board=f"B{number}") for number in range(3)))
    with snapshot(engine) as connection:
        rows = board_rows(connection)
        first = next(rows)
        tell(engine, draft("received", board="B9"), draft("scrapped", board="B2"))
        rest = list(rows)
    assert [row["serial"] for row in (first, *rest)] == ["B0", "B1", "B2"]
    assert rest[-1]["condition"] == "usable"


def test_the_lines_of_the_feed_can_be_imported_as_they_are(engine: Engine, published_file: Path) -> None:
    fill(engine)
    words = wording(COMPILED.catalogue, "en")
    with reading(engine) as connection:
        items = shown(feed(connection, 0, 10_000), 0, words)["items"]
    content = b"".join(orjson.dumps(item) + b"\n" for item in items)
    with new_ledger(published_file) as copy:
        tally, flaws = taken_in(copy, Subject.EVENTS, content, Form.NDJSON)
        assert (tally.taken, flaws) == (len(items), [])
    assert taken_in(engine, Subject.EVENTS, content, Form.NDJSON)[0].there == len(items)


def test_events_are_written_as_the_feed_gives_them(engine: Engine) -> None:
    fill(engine)
    with reading(engine) as connection:
        items = shown(feed(connection, 0, 10_000), 0, wording(COMPILED.catalogue, "en"))["items"]
    own = [
        {name: item[name] for name in ("seq", "kind", "occurred_at", "recorded_at", "data")} for item in items
    ]
    assert rows_out(engine, Subject.EVENTS) == own


def test_what_was_written_down_by_mistake_is_no_board(engine: Engine) -> None:
    tell(
        engine,
        draft("received", board="B1"),
        draft("received", board="B2"),
        draft("corrected", withdraws=1, reason="mistyped"),
    )
    assert [row["serial"] for row in rows_out(engine, Subject.BOARDS)] == ["B2"]


BOUND_40, BOUND_60 = ({"binding": "bound", "bound_model": model} for model in ("plover-40", "plover-60"))


@pytest.mark.parametrize(
    ("told", "row"),
    [
        ([BOUND_40, BOUND_60], {}),
        ([{"binding": "used"}], {"binding": "used"}),
        ([{"binding": "blank"}], {"binding": "blank"}),
        ([{**BOUND_40, "holds": ""}], {**BOUND_40, "holds": "none"}),
    ],
)
def test_what_the_columns_have_no_word_for_is_left_to_be_read_again(
    engine: Engine, told: list[dict[str, Any]], row: dict[str, Any]
) -> None:
    tell(engine, *(draft("read_out", board="B1", **each) for each in told))
    (found,) = rows_out(engine, Subject.BOARDS)
    assert {name: found[name] for name in ("binding", "bound_model", "holds") if name in found} == row


def test_only_boards_that_nobody_touched_are_the_factorys(engine: Engine) -> None:
    boards = [{"board": f"{role}1", "role": role, "policy": "free"} for role in ("lamp", "lift")]
    tell(
        engine,
        draft("registered", unit="U1", boards=boards),
        draft("removed", board="lamp1", unit="U1", role="lamp", policy="free"),
        draft("fitted", board="lamp2", unit="U1", role="lamp", policy="free"),
        draft("registered", unit="U2"),
        draft("dismantled", unit="U2"),
        draft("hold_placed", unit="U3", hold="recalled"),
    )
    (row,) = rows_out(engine, Subject.UNITS)
    assert row == {"serial": "U1", "registered_on": "2025-01-01", "lift": "lift1"}
