"""`verify` at the terminal: one line and status 0, or every fault and status 1."""

from __future__ import annotations

from pathlib import Path

import pytest

from service.cli.main import main
from service.demo.making import make_or_reuse
from service.store.engine import open_engine, writing
from service.store.migrate import run


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


def test_a_database_that_is_not_there_or_of_another_version_is_an_error_of_use(
    ledger: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify"]) == 2
    assert "there is no database" in capsys.readouterr().err
    with writing(open_engine(f"sqlite:///{ledger}")) as connection:
        run(connection, "upgrade", "0003")
    assert main(["verify"]) == 2
    assert "bring it up to date with 'migrate'" in capsys.readouterr().err
