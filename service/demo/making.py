"""The demo's database: made once, reused while it holds the demo's world."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Engine

from service.demo.world import demo_catalogue, demo_events
from service.papers import canonical_document, read_catalogue
from service.store import migrate, revisions
from service.store.append import append_many
from service.store.engine import open_engine, reading, writing


def make_or_reuse(file: Path) -> Path:
    """The file with the demo's world. One that was made by another version is brought up to date or replaced.

    It is made under another name and moved into place when it is whole, so a file of that name is
    never half a world.
    """
    if not (file.is_file() and _holds_demo(file)):
        unfinished = file.with_name(f"{file.name}.new")
        _remove(unfinished)
        _make(unfinished)
        _remove(file)
        unfinished.replace(file)
    return file


def fill(engine: Engine) -> None:
    """Put the demo's world into a database that has the tables and nothing in them."""
    text = demo_catalogue()
    with writing(engine) as connection:
        revisions.publish(connection, canonical_document(text), read_catalogue(text).revision)
    append_many(engine, demo_events())


def _make(file: Path) -> None:
    engine = open_engine(f"sqlite:///{file}")
    migrate.to_head(engine)
    fill(engine)
    engine.dispose()


def _holds_demo(file: Path) -> bool:
    engine = open_engine(f"sqlite:///{file}")
    try:
        migrate.to_head(engine)
        with reading(engine) as connection:
            found = revisions.current(connection)
        return found is not None and found.revision == read_catalogue(demo_catalogue()).revision
    except migrate.UnknownRevision:
        return False
    finally:
        engine.dispose()


def _remove(file: Path) -> None:
    for suffix in ("", "-wal", "-shm"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
