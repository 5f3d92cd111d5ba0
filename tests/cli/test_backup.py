"""Backups of a database in use, and what is not restored over what."""

from __future__ import annotations

import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from pathlib import Path

import pytest
from psycopg.pq import Conninfo
from sqlalchemy import URL, Engine, make_url, text

from service.cli.main import main
from service.store import backup, dump
from service.store.append import append
from service.store.engine import open_engine, reading, writing
from service.store.ledger import last_number
from service.store.migrate import to_head
from service.store.revisions import publish
from service.store.tables import METADATA
from tests.house.tree import ROOT
from tests.ledger.telling import draft
from tests.support.databases import new_database, opened, url_of
from tests.support.postgres import programs

RECEIVED = draft("received", board="B1")


@pytest.fixture
def shop(sqlite_world: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo's world, as the database of the settings."""
    file = tmp_path / "shop.db"
    shutil.copyfile(sqlite_world, file)
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", f"sqlite:///{file}")
    return file


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return tmp_path / "copies" / "monday.db"


@pytest.fixture
def made(shop: Path, copy: Path) -> Path:  # noqa: ARG001 - it is the database of the settings
    """A backup of the shop."""
    copy.parent.mkdir()
    assert main(["backup", str(copy)]) == 0
    return copy


def contents(file: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(file)) as connection:
        return {name: connection.execute(f'SELECT * FROM "{name}"').fetchall() for name in METADATA.tables}  # noqa: S608 - our own names


def names(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir())


def record_one(file: Path) -> None:
    engine = open_engine(f"sqlite:///{file}")
    with writing(engine) as connection:
        append(connection, [RECEIVED])
    engine.dispose()


def lose(file: Path) -> None:
    for suffix in ("", *backup.BESIDE):
        file.with_name(f"{file.name}{suffix}").unlink(missing_ok=True)


def test_a_backup_is_one_whole_file_and_comes_back_as_it_was(
    shop: Path, made: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = contents(shop)
    assert names(made.parent) == ["monday.db"]
    lose(shop)
    assert main(["restore", str(made)]) == 0
    assert "sound: 251 events" in capsys.readouterr().out
    assert contents(shop) == before
    assert names(made.parent) == ["monday.db"]
    assert main(["verify"]) == 0


def test_it_is_one_moment_while_others_write(shop: Path, copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were it not for the read transaction, each write would make the copy begin again."""
    monkeypatch.setattr(backup, "PAGES", 1)
    copy.parent.mkdir()
    before = contents(shop)
    pages: list[int] = []

    def moved(done: int, _: int) -> None:
        if len(pages) % 20 == 0:
            record_one(shop)
        pages.append(done)
        assert len(pages) < 1_000, "the copy begins again and again"

    backup.back_up(shop, copy, moved)
    assert len(pages) > 60
    assert pages == sorted(set(pages))
    assert contents(copy) == before != contents(shop)


def test_a_backup_is_never_written_over(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = made.read_bytes()
    assert main(["backup", str(made)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert made.read_bytes() == before


def test_who_stops_it_leaves_nothing_half_written(shop: Path, copy: Path) -> None:
    copy.parent.mkdir()

    def stop(done: int, _: int) -> None:
        assert names(copy.parent) == ["monday.db.part", "monday.db.part-journal"] or done
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        backup.back_up(shop, copy, stop)
    assert names(copy.parent) == []
    before = contents(shop)
    shutil.copy(shop, copy)
    with pytest.raises(KeyboardInterrupt):
        backup.put_back(copy, shop, stop, lambda _: None)
    assert contents(shop) == before
    assert names(shop.parent) == ["copies", "shop.db"]


def test_a_database_that_is_there_is_replaced_by_one_that_holds_all_of_it(shop: Path, tmp_path: Path) -> None:
    older = tmp_path / "older.db"
    shutil.copy(shop, older)
    record_one(shop)
    newer = tmp_path / "newer.db"
    assert main(["backup", "--quiet", str(newer)]) == 0
    shutil.copy(older, shop)
    assert main(["restore", "--quiet", str(newer)]) == 0
    assert contents(shop) == contents(newer) != contents(older)


def another_event(engine: Engine) -> None:
    with writing(engine) as connection:
        append(connection, [RECEIVED])


def another_catalogue(engine: Engine) -> None:
    with writing(engine) as connection:
        publish(connection, "papers", "r-1")


def another_key(engine: Engine) -> None:
    with writing(engine) as connection:
        connection.execute(text("UPDATE keys SET changed = 900 WHERE changed = 1"))


@pytest.mark.parametrize(
    ("something", "told"),
    [
        (another_event, "252 events against 251"),
        (another_catalogue, "2 catalogues against 1"),
        (another_key, "900 changes of keys against"),
    ],
)
def test_a_newer_database_is_not_replaced(
    shop: Path, made: Path, capsys: pytest.CaptureFixture[str], something: Callable[[Engine], None], told: str
) -> None:
    engine = open_engine(f"sqlite:///{shop}")
    something(engine)
    engine.dispose()
    before = contents(shop)
    assert main(["restore", str(made)]) == 2
    assert told in capsys.readouterr().err
    assert contents(shop) == before


def test_another_ledger_is_not_replaced(shop: Path, made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lose(shop)
    engine = open_engine(f"sqlite:///{shop}")
    to_head(engine)
    another_event(engine)
    engine.dispose()
    before = contents(shop)
    assert main(["restore", str(made)]) == 2
    assert "holds another ledger" in capsys.readouterr().err
    assert contents(shop) == before


@pytest.mark.parametrize("writes", [False, True])
def test_a_database_in_use_is_not_replaced(
    shop: Path, made: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, writes: bool
) -> None:
    monkeypatch.setattr(backup, "IN_USE_SECONDS", 0.1)
    engine = open_engine(f"sqlite:///{shop}")
    with writing(engine) if writes else reading(engine) as user:
        last_number(user)
        assert main(["restore", str(made)]) == 2
        assert "is in use" in capsys.readouterr().err
        assert last_number(user) == 251
    engine.dispose()
    assert main(["restore", str(made)]) == 0


def test_what_is_left_beside_a_lost_file_is_not_mixed_with_another(
    shop: Path, made: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with closing(sqlite3.connect(shop)) as last:
        last.execute("PRAGMA journal_mode=WAL")
        last.execute("UPDATE boards SET version = version")
        last.commit()
        shop.rename(shop.with_name("lost.db"))
        assert main(["restore", str(made)]) == 2
        assert "shop.db-wal and shop.db-shm are left of a database that is gone" in capsys.readouterr().err


UNFIT: Mapping[str, Callable[[Path], object]] = {
    "no database": lambda file: file.write_bytes(b"something else, long enough to be looked at" * 100),
    "empty": lambda file: file.write_bytes(b""),
    "of another program": lambda file: _with(file, "CREATE TABLE events (seq)", anew=True),
    "unsound": lambda file: _with(file, "UPDATE boards SET version = 900"),
    "of a later version": lambda file: _with(file, "UPDATE alembic_version SET version_num = '9999'"),
    "damaged": lambda file: file.write_bytes(file.read_bytes()[:150_000]),
    "not there": lambda file: file.unlink(),
}


def _with(file: Path, statement: str, *, anew: bool = False) -> None:
    if anew:
        file.unlink()
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute(statement)


@pytest.mark.parametrize("how", UNFIT)
def test_what_is_no_sound_backup_changes_nothing(
    shop: Path, made: Path, capsys: pytest.CaptureFixture[str], how: str
) -> None:
    before = contents(shop)
    UNFIT[how](made)
    assert main(["restore", "--quiet", str(made)]) in (1, 2)
    told = capsys.readouterr()
    assert "is restored" not in told.out
    assert told.err.startswith(("error: ", "fault: "))
    assert contents(shop) == before
    assert names(shop.parent) == ["copies", "shop.db"]


def test_a_database_is_no_backup_of_itself(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["restore", str(shop)]) == 2
    assert "is the database itself" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_where_nothing_can_be_written_is_told(
    shop: Path, made: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    file = shop.parent / "nowhere" / "shop.db"
    if command == "restore":
        monkeypatch.setenv("BOARDFIT_DATABASE_URL", f"sqlite:///{file}")
    assert main([command, str(file if command == "backup" else made)]) == 2
    assert f"error: cannot write {file}: No such file or directory" in capsys.readouterr().err


def test_a_full_disk_is_told(
    shop: Path, copy: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr(backup, "_copy", full)
    copy.parent.mkdir()
    assert main(["backup", str(copy)]) == 2
    assert f"error: cannot copy {shop} to {copy}: database or disk is full" in capsys.readouterr().err
    assert names(copy.parent) == []


def test_a_damaged_database_is_not_written_over_by_itself(
    shop: Path, made: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It may hold more than the backup: somebody has to decide."""
    UNFIT["damaged"](shop)
    assert main(["restore", str(made)]) == 2
    assert "a damaged one" in capsys.readouterr().err
    lose(shop)
    assert main(["restore", str(made)]) == 0


@pytest.mark.deep
@pytest.mark.usefixtures("shop")
def test_ctrl_c_at_the_terminal_leaves_nothing(tmp_path: Path) -> None:
    """As a person does it: a backup that is long under way, ended by the terminal's signal."""
    slowed = (
        "import time, service.store.backup as b; b.PAGES = 1; told = b._copy\n"
        "def slow(source, unfinished, moved):\n"
        "    told(source, unfinished, lambda *at: (moved(*at), print('moving', flush=True), time.sleep(1)))\n"
        "b._copy = slow\n"
        "import sys; from service.cli.main import main; sys.exit(main(sys.argv[1:]))"
    )
    copy = tmp_path / "copies" / "long.db"
    copy.parent.mkdir()
    with subprocess.Popen(
        [sys.executable, "-c", slowed, "backup", str(copy)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "moving\n"
        assert names(copy.parent) == ["long.db.part", "long.db.part-journal"]
        process.send_signal(signal.SIGINT)
        assert process.wait(20) == 130
    assert names(copy.parent) == []


@pytest.fixture
def two_urls(postgres_server: URL, postgres_world: str) -> Iterator[tuple[str, str]]:
    """The demo's world on PostgreSQL, and an empty database."""
    with new_database(postgres_server) as empty:
        yield url_of(postgres_server, postgres_world), url_of(postgres_server, empty)


def rows(url: str) -> dict[str, list[str]]:
    with opened(url) as engine, reading(engine) as connection:
        tables = METADATA.tables.items()
        return {name: sorted(map(str, connection.execute(table.select()))) for name, table in tables}


def test_a_postgresql_database_comes_back_as_it_was(
    two_urls: tuple[str, str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("PATH", f"{programs()}:/usr/bin")
    full, empty = two_urls
    file = tmp_path / "shop.dump"
    # The server asks for no certificate: what matters is that the programs take what they are told.
    full = make_url(full).update_query_dict({"sslpassword": "hush"}).render_as_string(hide_password=False)
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", full)
    assert main(["backup", str(file)]) == 0
    assert main(["backup", str(file)]) == 2
    assert main(["restore", str(file)]) == 2
    assert "has tables already" in capsys.readouterr().err
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", empty)
    shutil.copy(file, cut := tmp_path / "cut.dump")
    cut.write_bytes(cut.read_bytes()[:-2_000])
    assert main(["restore", str(cut)]) == 2
    assert "pg_restore failed" in capsys.readouterr().err
    assert main(["restore", str(file)]) == 0
    assert "sound: 251 events" in capsys.readouterr().out
    assert rows(empty) == rows(full)
    assert names(tmp_path) == ["cut.dump", "shop.dump"]


@pytest.mark.parametrize(
    "url",
    ["postgresql://u:s3cr%20t@h/n?sslmode=require", "postgresql://u@h/n?password=s3cr%20t&sslmode=require"],
)
def test_no_password_is_among_the_arguments_of_a_program(url: str) -> None:
    with dump.secrets_apart(url) as told:
        assert told == ("postgresql://u@h/n?sslmode=require", {"PGPASSWORD": "s3cr t"})


OF_LIBPQ = {option.keyword.decode(): option for option in Conninfo.get_defaults()}
"""What the library that connects can be told, by its own account."""


def test_every_secret_of_the_library_that_connects_is_known() -> None:
    """Those it would not show while one types; keys derived from a password it marks as other rare things."""
    hidden = {name for name, option in OF_LIBPQ.items() if option.dispchar == b"*"}
    derived = {"scram_client_key", "scram_server_key"}
    assert hidden | derived & OF_LIBPQ.keys() == set(dump.SECRETS) & OF_LIBPQ.keys()
    assert {name for name in dump.SECRETS if (known := OF_LIBPQ.get(name)) and known.envvar} == {"password"}


@pytest.mark.parametrize("name", [name for name in dump.SECRETS if name != "password" and name in OF_LIBPQ])
@pytest.mark.parametrize("secret", ["hush", " h=u;s#h [x] 'ä\\\"", "h" * dump.LONGEST_SECRET])
def test_a_secret_without_a_variable_is_read_from_a_file_of_its_owner(
    monkeypatch: pytest.MonkeyPatch, name: str, secret: str
) -> None:
    url = URL.create("postgresql", "u", "p", "h", 54, "n", {name: secret}).render_as_string(
        hide_password=False
    )
    with dump.secrets_apart(url) as (plain, told):
        for variable, value in told.items():
            monkeypatch.setenv(variable, value)
        file = Path(told["PGSERVICEFILE"])
        assert file.stat().st_mode & 0o777 == 0o600
        read = {option.keyword.decode(): option.val for option in Conninfo.get_defaults()}
        assert (read[name], read["password"]) == (secret.encode(), b"p")
        assert plain == "postgresql://u@h:54/n"
    assert not file.exists()


@pytest.mark.parametrize("secret", ["hush ", "hu\nhost=elsewhere", "h" * (dump.LONGEST_SECRET + 1)])
def test_a_secret_that_such_a_file_cannot_hold_is_refused(secret: str) -> None:
    url = URL.create("postgresql", host="h", query={"sslpassword": secret}).render_as_string()
    with (
        pytest.raises(backup.Refused, match="told sslpassword only if it is a line"),
        dump.secrets_apart(url),
    ):
        pass


def test_there_is_one_connection_service(monkeypatch: pytest.MonkeyPatch) -> None:
    told = "tell sslpassword in its file"
    with (
        pytest.raises(backup.Refused, match=told),
        dump.secrets_apart("postgresql://h/n?service=x&sslpassword=y"),
    ):
        pass
    monkeypatch.setenv("PGSERVICE", "x")
    with pytest.raises(backup.Refused, match=told), dump.secrets_apart("postgresql://h/n?sslpassword=y"):
        pass


def test_what_is_missing_for_postgresql_is_told(
    postgres_server: URL, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    url = make_url(url_of(postgres_server, "nowhere")).render_as_string(hide_password=False)
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", url)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert main(["backup", str(tmp_path / "a.dump")]) == 2
    assert "pg_dump is not on this machine" in capsys.readouterr().err
    monkeypatch.setenv("PATH", f"{programs()}:/usr/bin")
    assert main(["backup", str(tmp_path / "a.dump")]) == 2
    assert "pg_dump failed: pg_dump: error: connection to server" in capsys.readouterr().err
    assert names(tmp_path) == []
