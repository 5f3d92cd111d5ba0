"""A file of boards taken in by the command itself, on a SQLite file with everything synced to the disk."""

from __future__ import annotations

import csv
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from service.demo.world import CATALOGUE, demo_catalogue
from service.domain.serials import make
from service.files.lines import Lines
from service.files.reading import rows_of
from service.files.rows import Form
from service.papers import read_catalogue
from service.usecases.importing.chunks import chunks_of
from service.usecases.importing.source import Subject, source_of
from tests.bench.growth import WHEN

BOARDS = int(os.environ.get("BENCH_IMPORT", "50000"))
COLUMNS = ("serial", "part", "binding", "bound_model", "condition", "exposed_to", "tested", "received_on")
LOOKS: tuple[tuple[str, ...], ...] = (
    ("blank", "", "", "", ""),
    ("bound", "plover-40", "", "", "yes"),
    ("used", "", "", "", ""),
    ("bound", "plover-60", "exposed", "water", ""),
)
"""Binding, model, condition, harm and test of every fourth board: half of the lines are two events."""


def import_boards() -> Iterator[str]:
    """`import boards` of a CSV file, from an empty ledger: lines a second, CPU time, peak memory."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "boards.csv"
        _write(file, BOARDS)
        yield f"{BOARDS:,} lines, {file.stat().st_size / 1e6:.1f} MB"
        yield f"reading alone {_reading(file):.0f} us of CPU a line"
        environment = {**os.environ, "BOARDFIT_DATABASE_URL": f"sqlite:///{folder}/ledger.db"}
        _run(environment, "catalogue", "publish", str(CATALOGUE))
        yield from _measured(environment, file)
        yield f"ledger {(Path(folder) / 'ledger.db').stat().st_size / 1e6:.0f} MB"


def _measured(environment: dict[str, str], file: Path) -> Iterator[str]:
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
    told, memory = _watched(environment, "import", "boards", str(file), "--quiet")
    wall, after = time.monotonic() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    yield told.strip().partition(": ")[2]
    yield f"{wall:.1f} s, {BOARDS / wall:,.0f} lines/s; CPU {cpu:.1f} s, {cpu / BOARDS * 1e6:.0f} us a line"
    yield f"a million at this pace: {wall / BOARDS * 1e6 / 60:.1f} minutes; peak memory {memory:.0f} MB"


def _run(environment: dict[str, str], *command: str) -> None:
    subprocess.run(
        [sys.executable, "-m", "service", *command], env=environment, check=True, capture_output=True
    )


def _watched(environment: dict[str, str], *command: str) -> tuple[str, float]:
    """What a command prints, and the most memory of its own that it had: less the database's mapped pages,
    which are the system's to keep or to drop."""
    most = 0
    given = [sys.executable, "-m", "service", *command]
    with subprocess.Popen(given, env=environment, stdout=subprocess.PIPE, text=True) as process:
        while process.poll() is None:
            most = max(most, _own_memory(process.pid))
            with suppress(subprocess.TimeoutExpired):
                process.wait(timeout=0.2)
        assert process.stdout is not None
        return process.stdout.read(), most / 1024


def _own_memory(pid: int) -> int:
    """Anonymous resident memory in kB, as Linux tells it; 0 of a process that has ended."""
    try:
        told = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in told.splitlines() if line.startswith("RssAnon")), 0)


def _reading(file: Path) -> float:
    """Microseconds of CPU for each line: bytes to what a line says, before anything is looked up."""
    catalogue = read_catalogue(demo_catalogue())
    source = source_of(Subject.BOARDS, catalogue, WHEN)
    start = time.process_time()
    with file.open("rb") as stream:
        for _ in chunks_of(source, rows_of(Lines(stream), Form.CSV, source.columns.naming)):
            pass
    return (time.process_time() - start) / BOARDS * 1e6


def _write(file: Path, boards: int) -> None:
    catalogue = read_catalogue(demo_catalogue())
    scheme = next(scheme for scheme in catalogue.schemes if scheme.id == "tillmoor-board")
    with file.open("w", encoding="utf-8", newline="") as stream:
        rows = csv.writer(stream)
        rows.writerow(COLUMNS)
        for number in range(boards):
            serial = make(scheme, _fields(number))
            rows.writerow((serial, "MN-4100", *LOOKS[number % len(LOOKS)], "2025-03-03"))


def _fields(number: int) -> dict[str, Any]:
    batch, running = divmod(number, 10_000)
    year, week = divmod(batch, 52)
    return {"product": "M41", "year": 2014 + year, "week": week + 1, "number": running}
