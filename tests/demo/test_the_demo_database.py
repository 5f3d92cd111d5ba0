"""The demo's file is reused while it holds the demo's world, and made anew when it does not."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from service.demo import making
from service.demo.keys import DEMO_KEYS
from service.demo.making import make_or_reuse
from service.store.engine import open_engine
from service.usecases.caller import Scope
from service.usecases.key_text import read_key
from service.usecases.keys import listed_keys, make_key, revoke_key


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The demo's file as it is made."""
    return make_or_reuse(tmp_path_factory.mktemp("whole") / "demo.db").read_bytes()


@pytest.fixture
def file(tmp_path: Path, whole: bytes) -> Path:
    made = tmp_path / "demo.db"
    made.write_bytes(whole)
    return made


def run(file: Path, *statements: str) -> None:
    with closing(sqlite3.connect(file)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def is_reused(file: Path) -> bool:
    """Whether what stands in the file beside the demo's world is still there afterwards."""
    run(file, "CREATE TABLE IF NOT EXISTS of_somebody (x)")
    make_or_reuse(file)
    with closing(sqlite3.connect(file)) as connection:
        named = "SELECT count(*) FROM sqlite_master WHERE name = 'of_somebody'"
        return bool(connection.execute(named).fetchone()[0])


def keys_of(file: Path) -> dict[str, tuple[str, ...]]:
    engine = open_engine(f"sqlite:///{file}")
    found = {key.id: key.scopes for key in listed_keys(engine) if key.ended_at() is None}
    engine.dispose()
    return found


def test_it_holds_its_keys(file: Path) -> None:
    assert keys_of(file) == {key.id: tuple(key.scopes) for key in DEMO_KEYS}
    assert [key.scopes for key in DEMO_KEYS if key.public] == [(Scope.ASK,)]
    assert set(DEMO_KEYS[0].scopes) == set(Scope)
    for key in DEMO_KEYS:
        assert read_key(key.written) == key.text
        assert "everybodyknows" in key.written, "nobody takes it for a secret"


def test_a_whole_world_is_reused(file: Path) -> None:
    assert is_reused(file)
    assert is_reused(file)


def test_what_was_added_to_it_stays(file: Path) -> None:
    engine = open_engine(f"sqlite:///{file}")
    _, key = make_key(engine, owner="mine", scopes={Scope.ASK})
    engine.dispose()
    assert is_reused(file)
    assert key.id in keys_of(file)


def test_a_world_whose_keys_ended_is_made_anew(file: Path) -> None:
    engine = open_engine(f"sqlite:///{file}")
    revoke_key(engine, DEMO_KEYS[0].id)
    engine.dispose()
    assert not is_reused(file)
    assert set(keys_of(file)) == {key.id for key in DEMO_KEYS}


def test_a_file_of_an_earlier_world_is_made_anew(file: Path) -> None:
    run(file, "PRAGMA user_version = 7")
    assert not is_reused(file)
    run(file, "PRAGMA user_version = 0", "DROP TABLE keys")
    assert not is_reused(file)


@pytest.mark.parametrize("name", ["demo_catalogue", "demo_events", "DEMO_KEYS"])
def test_whatever_the_world_is_made_of_is_noticed(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    before = making._mark()  # noqa: SLF001 - what a file is marked with
    changed: object = () if name == "DEMO_KEYS" else lambda: ""
    monkeypatch.setattr(making, name, changed)
    assert making._mark() != before  # noqa: SLF001 - the same
    monkeypatch.undo()
    assert making._mark() == before  # noqa: SLF001 - the same


def test_an_empty_file_is_filled(tmp_path: Path) -> None:
    (tmp_path / "demo.db").touch()
    assert set(keys_of(make_or_reuse(tmp_path / "demo.db"))) == {key.id for key in DEMO_KEYS}
