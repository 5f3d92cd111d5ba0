"""The import command as a process of its own, to be fed, stopped and killed."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import func, select

from service.demo.serials import board_serial
from service.store.engine import reading
from service.store.tables import BOARDS, EVENTS, IMPORTED
from tests.data.commands import csv_file, opened

ROOT = Path(__file__).parents[2]
HEADER = "serial,part,binding,tested"
EVENTS_OF_LINE = 2
PATIENCE = 120


def serials(count: int) -> Iterator[str]:
    for number in range(count):
        yield board_serial("M41", 2020, 1 + number // 10_000, number % 10_000)


def boards_file(path: Path, count: int) -> Path:
    """A file of boards, each of which is received and tested."""
    return csv_file(path, HEADER, *lines_of(count))


def lines_of(count: int) -> list[str]:
    return [f"{serial},MN-4100,blank,yes" for serial in serials(count)]


def fed(process: subprocess.Popen[str], *lines: str) -> None:
    """Give it lines of its standard input."""
    assert process.stdin is not None
    process.stdin.writelines(f"{line}\n" for line in lines)
    process.stdin.flush()


def told_of(process: subprocess.Popen[str]) -> str:
    """The next line that it says on standard error."""
    assert process.stderr is not None
    return process.stderr.readline()


def started(url: str, *arguments: str) -> subprocess.Popen[str]:
    """`python -m service import boards …`, running."""
    environment = {**os.environ, "BOARDFIT_DATABASE_URL": url, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, "-m", "service", "import", "boards", *arguments],
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def ended(process: subprocess.Popen[str]) -> tuple[int, str]:
    """Its exit status and what it printed."""
    out, _ = process.communicate(timeout=PATIENCE)
    return process.returncode, out


def counted(url: str) -> dict[str, int]:
    """Rows of events, boards and marks."""
    with opened(url) as engine, reading(engine) as connection:
        tables = (EVENTS, BOARDS, IMPORTED)
        return {
            table.name: int(connection.execute(select(func.count()).select_from(table)).scalar_one())
            for table in tables
        }


def each_once(count: int) -> dict[str, int]:
    """What is counted when so many lines are there, each once."""
    return {"events": EVENTS_OF_LINE * count, "boards": count, "imported": count}
