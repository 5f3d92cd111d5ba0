"""The two commands as people and scripts meet them: what they print, where, and their exit status."""

from __future__ import annotations

import io
import os
import pty
import subprocess
import sys
from pathlib import Path

import orjson
import pytest
from sqlalchemy import Engine, text

from service.cli import progress
from service.demo import serials as s
from service.store.engine import writing
from tests.data.commands import csv_file, events_of, publish, ran
from tests.data.conftest import Command
from tests.data.running import ROOT, boards_file, counted, each_once

GOOD, BAD = f"{s.BLANK_MAIN},", "TBM4122080117Y,MN-4101"
MISREAD = '"TBM4122080117Y": it cannot be right, read character 14 of the label again'
NO_PART = 'the catalogue has no part "MN-4101": did you mean MN-4100?'


@pytest.fixture
def half_bad(tmp_path: Path) -> Path:
    return csv_file(tmp_path / "b.csv", "serial,part", GOOD, BAD)


@pytest.mark.parametrize(
    ("options", "status", "end", "events"),
    [
        ([], 1, "2 lines read, 1 taken in, 0 there already, 1 refused", 1),
        (["--all-or-nothing"], 1, "1 taken in, 0 there already, 1 refused; nothing was written", 0),
        (["--dry-run"], 1, "1 taken in, 0 there already, 1 refused; nothing was written", 0),
        (["--dry-run", "--all-or-nothing"], 1, "1 refused; nothing was written", 0),
    ],
)
def test_lines_that_are_refused_are_told_and_make_the_exit_status(
    command: Command, shop_url: str, half_bad: Path, options: list[str], status: int, end: str, events: int
) -> None:
    done = command("import", "boards", half_bad, *options)
    assert (done.status, done.err) == (
        status,
        f"{half_bad}:3: serial: {MISREAD}\n{half_bad}:3: part: {NO_PART}\n",
    )
    assert done.out.endswith(f"{end}\n")
    assert len(events_of(shop_url)) == events


@pytest.mark.parametrize(
    ("option", "end", "events"),
    [("--all-or-nothing", "0 refused\n", 2), ("--dry-run", "0 refused; nothing was written\n", 0)],
)
def test_without_refused_lines_all_is_well(
    command: Command, shop_url: str, tmp_path: Path, option: str, end: str, events: int
) -> None:
    file = csv_file(tmp_path / "b.csv", "serial", GOOD.strip(","), s.USED_MAIN_60)
    done = command("import", "boards", file, option)
    assert (done.status, done.err) == (0, "")
    assert done.out.endswith(end)
    assert len(events_of(shop_url)) == events


def test_all_or_nothing_goes_over_chunks(command: Command, shop_url: str, tmp_path: Path) -> None:
    file = boards_file(tmp_path / "b.csv", 2_500)
    with file.open("a") as stream:
        stream.write("TBM4122080117Y,,,\n")
    done = command("import", "boards", file, "--all-or-nothing")
    assert done.status == 1
    assert done.out.endswith("2,500 taken in, 0 there already, 1 refused; nothing was written\n")
    assert counted(shop_url) == each_once(0)


def test_what_was_refused_is_written_for_machines_too(
    command: Command, half_bad: Path, tmp_path: Path
) -> None:
    report = tmp_path / "refused.ndjson"
    assert command("import", "boards", half_bad, "--report", report).status == 1
    assert [orjson.loads(line) for line in report.read_bytes().splitlines()] == [
        {"line": 3, "column": "serial", "reason": MISREAD},
        {"line": 3, "column": "part", "reason": NO_PART},
    ]


@pytest.mark.parametrize("subject", ["boards", "units", "events"])
@pytest.mark.parametrize("rows", ["", "\n\n"])
def test_a_header_alone_is_a_file_of_no_lines(
    command: Command, tmp_path: Path, subject: str, rows: str
) -> None:
    header = {"boards": "serial", "units": "serial", "events": "kind,occurred_at,data"}[subject]
    done = command("import", subject, csv_file(tmp_path / "x.csv", header + rows))
    assert (done.status, done.err) == (0, "")
    assert done.out.endswith("0 lines read, 0 taken in, 0 there already, 0 refused\n")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["boards"], "say which file to import: import boards FILE"),
        (["boards", "none.csv"], "cannot read none.csv: No such file or directory"),
        (["boards", "."], "cannot read .: Is a directory"),
        (["boards", "empty.csv"], "empty.csv: the file is empty"),
        (["boards", "x.csv", "--report", "no/where"], "cannot write no/where: No such file or directory"),
        (["board", "x.csv"], "argument KIND: invalid choice: 'board'"),
        (["boards", "x.csv", "--format", "xml"], "argument --format: invalid Form value: 'xml'"),
    ],
)
def test_errors_of_use_are_one_line(
    command: Command, tmp_path: Path, arguments: list[str], told: str
) -> None:
    csv_file(tmp_path / "empty.csv")
    csv_file(tmp_path / "x.csv", "serial", s.BLANK_MAIN)
    done = command("import", *arguments)
    assert done.status == 2
    assert done.err.startswith(f"error: {told}")
    assert done.err.count("\n") == 1


@pytest.mark.parametrize("what", [["import", "boards", "x.csv"], ["export", "boards"]])
def test_without_a_catalogue_it_says_what_to_do(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    migrated_file: Path,
    what: list[str],
) -> None:
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", f"sqlite:///{migrated_file}")
    monkeypatch.chdir(tmp_path)
    done = ran(capsys, *what)
    assert (done.status, done.out) == (2, "")
    assert done.err == "error: no catalogue is published: use 'catalogue publish FILE' first\n"


def test_without_a_database_it_says_so(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", f"sqlite:///{tmp_path}/none.db")
    assert ran(capsys, "import", "boards", "x.csv").err.startswith(
        f"error: there is no database {tmp_path}/none.db"
    )


def test_a_read_only_database_takes_nothing_and_is_told_of(
    postgres_engine: Engine,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    url = postgres_engine.url.render_as_string(hide_password=False)
    publish(url)
    only_reading = f"ALTER DATABASE {postgres_engine.url.database} SET default_transaction_read_only = on"
    with writing(postgres_engine) as connection:
        connection.execute(text(only_reading))
    postgres_engine.dispose()
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", url)
    done = ran(capsys, "import", "boards", str(csv_file(tmp_path / "b.csv", "serial", s.BLANK_MAIN)))
    assert done.status == 2
    assert done.out.endswith(
        "0 lines read, 0 taken in, 0 there already, 0 refused; that stands, run it again to go on\n"
    )
    assert done.err.startswith("error: the database does not answer: cannot execute")


def test_standard_input_is_a_file_too(
    command: Command, shop_url: str, monkeypatch: pytest.MonkeyPatch, half_bad: Path
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(half_bad.read_bytes())))
    done = command("import", "boards", "-")
    assert done.out == "standard input: 2 lines read, 1 taken in, 0 there already, 1 refused\n"
    assert len(events_of(shop_url)) == 1


def test_the_form_may_be_said(command: Command, tmp_path: Path) -> None:
    file = csv_file(tmp_path / "b.ndjson", "serial", s.BLANK_MAIN)
    assert command("import", "boards", file).status == 1
    assert command("import", "boards", file, "--format", "csv").status == 0


@pytest.mark.parametrize("subject", ["boards", "units", "events"])
def test_the_columns_are_told_in_the_help_and_by_themselves(
    command: Command, capsys: pytest.CaptureFixture[str], subject: str
) -> None:
    listed = command("import", subject, "--columns").out
    with pytest.raises(SystemExit):
        command("import", subject, "--help")
    told = capsys.readouterr().out
    for line in listed.splitlines():
        if subject != "units" or line.split()[0] in {"serial", "model", "market", "made_on", "registered_on"}:
            assert line.strip().split("  ")[-1] in told
    assert (subject == "units") == ("one for each place" in told)


def test_progress_is_a_plain_line_now_and_then(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress, "EVERY_SECONDS", 0.0)
    file = boards_file(tmp_path / "b.csv", 2_001)
    done = command("import", "boards", file)
    assert done.err.splitlines() == [
        f"{file}: {count} lines read, {count} taken in, 0 there already, 0 refused"
        for count in ("1,000", "2,000", "2,001")
    ]
    assert command("import", "boards", file, "--quiet").err == ""


def test_on_a_terminal_it_is_a_bar(shop_url: str, tmp_path: Path, half_bad: Path) -> None:
    master, terminal = pty.openpty()
    environment = {**os.environ, "BOARDFIT_DATABASE_URL": shop_url, "PYTHONPATH": str(ROOT), "TERM": "xterm"}
    command = [sys.executable, "-m", "service", "import", "boards", str(half_bad)]
    process = subprocess.run(
        command, env=environment, stderr=terminal, stdout=subprocess.PIPE, check=False, cwd=tmp_path
    )
    os.close(terminal)
    shown = os.read(master, 1 << 16).decode()
    os.close(master)
    assert process.returncode == 1
    assert "100%" in shown
    assert "1 refused" in shown
    # The refused line stands on a line of its own, whatever the bar does.
    assert f"\x1b[2K{half_bad}:3: part: {NO_PART}\r\n" in shown
