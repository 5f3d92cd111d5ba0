"""A shop with the demo's catalogue and an empty ledger, and its commands run in this process."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.data.commands import Ran, publish, ran

Command = Callable[..., Ran]


@pytest.fixture
def shop_url(tmp_path: Path, migrated_file: Path) -> str:
    """A SQLite database with the catalogue and nothing else."""
    return publish(f"sqlite:///{tmp_path / 'shop.db'}", migrated_file)


@pytest.fixture
def command(
    shop_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Command:
    """Runs `python -m service …` on that database, in a folder of its own."""
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", shop_url)
    monkeypatch.chdir(tmp_path)
    return lambda *arguments: ran(capsys, *map(str, arguments))
