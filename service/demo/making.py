"""The demo's database: made once, reused while it holds the demo's world."""

from __future__ import annotations

from pathlib import Path
from zlib import crc32

from sqlalchemy import Connection, Engine

from service.demo.keys import DEMO_KEYS, put_keys
from service.demo.world import demo_catalogue, demo_events
from service.papers import canonical_document, read_catalogue
from service.store import migrate, revisions
from service.store.append import append_many
from service.store.engine import open_engine, reading, writing
from service.store.keys import all_keys


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
    put_keys(engine)


def _make(file: Path) -> None:
    engine = open_engine(f"sqlite:///{file}")
    migrate.to_head(engine)
    fill(engine)
    with reading(engine) as connection:
        connection.exec_driver_sql(f"PRAGMA user_version = {_mark()}")
    engine.dispose()


def _mark() -> int:
    """A number that is another one when the demo's world is: a file of an earlier world is replaced.

    SQLite keeps one such number for whoever made the file; it takes 31 bits without a sign.
    """
    told = (demo_catalogue(), demo_events(), DEMO_KEYS, migrate.NEWEST)
    return crc32(repr(told).encode()) >> 1


def _holds_demo(file: Path) -> bool:
    engine = open_engine(f"sqlite:///{file}")
    try:
        with reading(engine) as connection:
            return _is_marked(connection) and _has_its_keys(connection)
    finally:
        engine.dispose()


def _is_marked(connection: Connection) -> bool:
    return bool(connection.exec_driver_sql("PRAGMA user_version").scalar_one() == _mark())


def _has_its_keys(connection: Connection) -> bool:
    """Whether all of them are good still: somebody may have tried out how to revoke one."""
    good = {key.id for key in all_keys(connection) if key.ended_at() is None}
    return good.issuperset(key.id for key in DEMO_KEYS)


def _remove(file: Path) -> None:
    for suffix in ("", "-wal", "-shm"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
