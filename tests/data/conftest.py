"""A shop with the demo's catalogue and an empty ledger, and its commands run in this process."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.data.commands import Ran, publish, ran

Command = Callable[..., Ran]


@pytest.fixture(scope="session")
def published_file(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Path:
    """A SQLite database with the catalogue and nothing else, to be copied."""
    path = tmp_path_factory.mktemp("published") / "shop.db"
    shutil.copyfile(migrated_file, path)
    publish(f"sqlite:///{path}")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


@pytest.fixture
def new_shop(tmp_path: Path, published_file: Path) -> Callable[[str], str]:
    """Makes a SQLite database with the catalogue and nothing else, under a name; its URL."""

    def make(name: str) -> str:
        shutil.copyfile(published_file, tmp_path / name)
        return f"sqlite:///{tmp_path / name}"

    return make


@pytest.fixture
def shop_url(new_shop: Callable[[str], str]) -> str:
    """The shop of a test."""
    return new_shop("shop.db")


@pytest.fixture
def command(
    shop_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Command:
    """Runs `python -m service …` on that database, in a folder of its own."""
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", shop_url)
    monkeypatch.chdir(tmp_path)
    return lambda *arguments: ran(capsys, *map(str, arguments))
