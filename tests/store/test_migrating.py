"""Starting: the tables are made once, match what the code says, and an unknown database is left alone."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Engine, inspect, text

import service
from service.domain.terms import Serial
from service.store import engine as engine_module
from service.store import migrate
from service.store.engine import open_engine, reading, snapshot, writing
from service.store.gather import gather
from service.store.rebuild import rebuild
from service.store.scripts import known
from service.store.tables import METADATA
from tests.ledger.telling import draft
from tests.store.ledgers import RECEIVED, state_tables, tell
from tests.support.databases import new_database, opened, url_of

ROOT = Path(__file__).parents[2]


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_url(request: pytest.FixtureRequest, tmp_path: Path) -> object:
    """A database without any table."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'empty.sqlite'}"
        return
    server = request.getfixturevalue("postgres_server")
    with new_database(server) as name:
        yield url_of(server, name)


def test_the_tables_are_those_of_the_code(engine: Engine) -> None:
    with snapshot(engine) as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []


def test_migrating_again_does_nothing(engine: Engine) -> None:
    tell(engine, RECEIVED)
    before = state_tables(engine)
    migrate.to_head(engine)
    assert migrate.is_at_head(engine)
    assert state_tables(engine) == before


def test_several_that_start_at_once_make_the_tables_once(empty_url: str) -> None:
    start = Barrier(4)

    def run(_: int) -> bool:
        engine = open_engine(empty_url)
        start.wait(timeout=30)
        migrate.to_head(engine)
        done = migrate.is_at_head(engine)
        engine.dispose()
        return done

    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(run, range(4))) == [True] * 4


def test_who_starts_while_another_migrates_waits_as_long_as_that_takes(
    postgres_server: URL, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in (engine_module, migrate):
        monkeypatch.setattr(module, "LOCK_TIMEOUT_MS", 100)
    with (
        new_database(postgres_server) as name,
        opened(url_of(postgres_server, name)) as engine,
        ThreadPoolExecutor(1) as pool,
    ):
        with engine.begin() as other:
            other.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": migrate.MIGRATION_KEY})
            waiting = pool.submit(migrate.to_head, engine)
            with pytest.raises(TimeoutError):
                waiting.result(0.4)
        waiting.result(30)
        assert migrate.is_at_head(engine)


def test_a_database_of_another_version_is_refused_and_untouched(empty_url: str) -> None:
    engine = open_engine(empty_url)
    with writing(engine) as connection:
        connection.execute(text("CREATE TABLE alembic_version (version_num VARCHAR(32) PRIMARY KEY)"))
        connection.execute(text("INSERT INTO alembic_version VALUES ('9999')"))
    with pytest.raises(migrate.UnknownRevision, match="9999"):
        migrate.to_head(engine)
    with reading(engine) as connection:
        assert inspect(connection).get_table_names() == ["alembic_version"]
    engine.dispose()


def test_a_migration_that_fails_leaves_nothing_behind(empty_url: str) -> None:
    engine = open_engine(empty_url)
    with writing(engine) as connection:
        connection.execute(text("CREATE TABLE units (of_another_program INTEGER)"))
    with pytest.raises(Exception, match="units"):
        migrate.to_head(engine)
    with reading(engine) as connection:
        assert inspect(connection).get_table_names() == ["units"]
    engine.dispose()


OF_THE_FIRST_VERSION = (
    """INSERT INTO events (seq, kind, occurred_at, recorded_at, data)
    VALUES (1, 'received', '2025-01-01 00:00:00', '2025-01-01 00:00:00', '{"board": "B1", "release": 1}')""",
    "INSERT INTO event_subjects (kind, serial, version, seq) VALUES ('board', 'B1', 1, 1)",
    """INSERT INTO boards (serial, version, condition, release, place, in_custody, held)
    VALUES ('B1', 1, 'usable', 1, '', TRUE, FALSE)""",
)


def test_a_ledger_of_the_first_version_is_read_and_goes_on(empty_url: str) -> None:
    """Its releases were positions in a list of their day: what they name is unknown now."""
    engine = open_engine(empty_url)
    with writing(engine) as connection:
        migrate.run(connection, "upgrade", "0001")
        for statement in OF_THE_FIRST_VERSION:
            connection.exec_driver_sql(statement)
    migrate.to_head(engine)
    tell(engine, draft("tested", board="B1", passed=True))
    with reading(engine) as connection:
        board = gather(connection, [Serial("B1")], []).boards[Serial("B1")]
    assert (board.version, board.release, board.tested, board.sold) == (2, None, True, False)
    before = state_tables(engine)
    with writing(engine) as connection:
        rebuild(connection)
    assert state_tables(engine) == before
    engine.dispose()


def test_the_ledger_is_never_dropped(sqlite_engine: Engine) -> None:
    with pytest.raises(NotImplementedError), writing(sqlite_engine) as connection:
        migrate.run(connection, "downgrade", "base")


def test_without_migrations_it_says_where_it_looked(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(service, "__file__", str(tmp_path / "site" / "service" / "__init__.py"))
    monkeypatch.chdir(tmp_path)
    with pytest.raises(migrate.NoMigrations, match="migrations"):
        migrate.migrations_folder()


def test_an_installed_package_takes_the_migrations_of_the_working_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(service, "__file__", str(tmp_path / "site" / "service" / "__init__.py"))
    monkeypatch.chdir(ROOT)
    assert migrate.migrations_folder() == ROOT / "migrations"


def test_alembics_own_command_migrates_the_database_of_the_settings(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'by-command.sqlite'}"
    command = [sys.executable, "-m", "alembic", "upgrade", "head"]
    environment = {"BOARDFIT_DATABASE_URL": url, "PATH": "/usr/bin:/bin"}
    subprocess.run(command, cwd=ROOT, env=environment, check=True, capture_output=True)
    engine = open_engine(url)
    assert migrate.is_at_head(engine)
    engine.dispose()


def test_who_looks_often_whether_it_is_ready_leaves_nothing_behind(sqlite_engine: Engine) -> None:
    kept = sqlite_engine._compiled_cache  # noqa: SLF001 - nothing else tells what is kept
    assert kept is not None
    assert migrate.is_at_head(sqlite_engine)
    before = len(kept)
    assert all(migrate.is_at_head(sqlite_engine) for _ in range(5))
    assert len(kept) == before


def test_the_revision_that_is_told_is_that_of_the_newest_script() -> None:
    scripts = ScriptDirectory(str(migrate.migrations_folder()))
    assert scripts.get_current_head() == migrate.NEWEST
    assert migrate.NEWEST in known(migrate.migrations_folder())
