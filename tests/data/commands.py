"""Running the commands, and small files for them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import orjson
import pytest
from sqlalchemy import Engine

from service.cli.main import main
from service.demo.world import demo_catalogue
from service.domain.ledger.event import Event
from service.papers import canonical_document, read_catalogue
from service.store import revisions
from service.store.engine import open_engine, reading, writing
from service.store.ledger import events_after


class Ran(NamedTuple):
    """What a command did."""

    status: int
    out: str
    err: str


def ran(capsys: pytest.CaptureFixture[str], *arguments: str) -> Ran:
    capsys.readouterr()
    status = main(arguments)
    return Ran(status, *capsys.readouterr())


def publish(url: str) -> None:
    """Put the demo's catalogue in force."""
    with opened(url) as engine, writing(engine) as connection:
        text = demo_catalogue()
        revisions.publish(connection, canonical_document(text), read_catalogue(text).revision)


@contextmanager
def opened(url: str) -> Iterator[Engine]:
    engine = open_engine(url)
    try:
        yield engine
    finally:
        engine.dispose()


def events_of(url: str) -> list[Event]:
    with opened(url) as engine, reading(engine) as connection:
        return events_after(connection, 0, 1_000_000)


def said(event: Event) -> tuple[str, Any]:
    """An event without its number and times."""
    return event.kind, event.data


def csv_file(path: Path, *lines: str, end: str = "\n") -> Path:
    path.write_bytes("".join(f"{line}{end}" for line in lines).encode())
    return path


def ndjson_file(path: Path, lines: Iterable[Any]) -> Path:
    path.write_bytes(b"".join(orjson.dumps(line) + b"\n" for line in lines))
    return path


def faults(told: Ran) -> Sequence[str]:
    """The lines that were refused, without the file's name."""
    return [line.partition(":")[2] for line in told.err.splitlines()]
