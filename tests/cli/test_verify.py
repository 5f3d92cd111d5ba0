"""`verify` at the terminal: one line and status 0, or every fault and status 1; `rebuild` mends states."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import Engine, delete

from service.cli.main import main
from service.demo.making import make_or_reuse
from service.store.append import append
from service.store.engine import open_engine, writing
from service.store.migrate import run
from service.store.tables import BOARDS
from tests.ledger.telling import draft


@pytest.fixture
def ledger(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", f"sqlite:///{tmp_path / 'shop.db'}")
    return tmp_path / "shop.db"


def test_a_sound_ledger_is_one_line(ledger: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make_or_reuse(ledger)
    assert main(["verify"]) == 0
    told = capsys.readouterr()
    assert told.out.startswith("sound: ")
    assert told.err == ""


def test_every_fault_is_told_and_the_status_is_1(ledger: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make_or_reuse(ledger)
    with writing(open_engine(f"sqlite:///{ledger}")) as connection:
        rows = connection.exec_driver_sql("UPDATE boards SET version = version + 1").rowcount
    assert main(["verify", "--quiet"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("fault: the row ") == 50
    assert f"unsound: {rows} faults ({rows - 50} more than are told here)" in told.err


def test_states_are_made_anew_from_the_events(ledger: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make_or_reuse(ledger)
    with writing(open_engine(f"sqlite:///{ledger}")) as connection:
        connection.exec_driver_sql("UPDATE boards SET version = version + 1")
        connection.exec_driver_sql("DELETE FROM units")
    assert main(["verify", "--quiet"]) == 1
    assert "made anew by 'rebuild'" in capsys.readouterr().err
    assert main(["rebuild", "--quiet"]) == 0
    assert capsys.readouterr().out.startswith("sound: ")
    assert main(["verify"]) == 0


def test_postgresql_is_rebuilt_too(
    postgres_engine: Engine, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    url = postgres_engine.url.render_as_string(hide_password=False)
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", url)
    with writing(postgres_engine) as connection:
        append(connection, [draft("received", board="B1")])
        connection.execute(delete(BOARDS))
    assert main(["verify", "--quiet"]) == 1
    assert main(["rebuild", "--quiet"]) == 0
    assert capsys.readouterr().out == "sound: 1 events, 1 boards, 0 units\n"


@pytest.mark.parametrize("fault", ["data = '{}'", "kind = 'nonsense'", "data = '{'"])
def test_nothing_is_made_of_events_that_have_faults(
    ledger: Path, capsys: pytest.CaptureFixture[str], fault: str
) -> None:
    make_or_reuse(ledger)
    engine = open_engine(f"sqlite:///{ledger}")
    boards = "SELECT * FROM boards ORDER BY serial"
    with writing(engine) as connection:
        connection.exec_driver_sql("DROP TRIGGER events_no_update")
        connection.exec_driver_sql(f"UPDATE events SET {fault} WHERE seq = 1")  # noqa: S608 - the faults are those above
        before = connection.exec_driver_sql(boards).all()
    assert main(["rebuild"]) == 2
    assert "the events themselves have faults, and nothing was changed" in capsys.readouterr().err
    with writing(engine) as connection:
        assert connection.exec_driver_sql(boards).all() == before != []


def test_a_database_that_is_not_there_or_of_another_version_is_an_error_of_use(
    ledger: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify"]) == 2
    assert "there is no database" in capsys.readouterr().err
    with writing(open_engine(f"sqlite:///{ledger}")) as connection:
        run(connection, "upgrade", "0003")
    assert main(["verify"]) == 2
    assert "bring it up to date with 'migrate'" in capsys.readouterr().err
