"""`keys` on the command line, run in this process on a database of its own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from service.cli.main import main
from service.settings import documented
from service.store.engine import open_engine
from service.usecases.key_text import read_key
from service.usecases.keys import listed_keys

KEY = re.compile(r"bfk_[a-z2-7]{8}_[a-z2-7]{32}_[0-9a-f]{8}")


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name, _, _ in documented():
        monkeypatch.delenv(name, raising=False)


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = main(["keys", *arguments])
    told = capsys.readouterr()
    return status, told.out, told.err


def made(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The id of a key that is made so."""
    status, out, err = run(capsys, "make", *arguments)
    assert (status, err) == (0, "")
    first, second = out.splitlines()
    assert KEY.fullmatch(first), "the first line is the key and nothing else, so that scripts can take it"
    assert "not shown again" in second
    return read_key(first).id


def test_a_key_is_shown_once(capsys: pytest.CaptureFixture[str]) -> None:
    key_id = made(capsys, "till", "--scope", "ask", "--scope", "sell", "--rate", "30", "--days", "10")
    status, out, err = run(capsys, "list")
    assert (status, err) == (0, "")
    heading, row = out.splitlines()
    assert heading.split() == ["ID", "OWNER", "SCOPES", "A", "MINUTE", "MADE", "STATE"]
    assert row.split()[:4] == [key_id, "till", "ask,sell", "30"]
    assert "good until 20" in row
    assert KEY.search(out) is None


def test_what_is_made_is_what_was_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    made(capsys, "chat", "--scope", "ask", "--public")
    engine = open_engine("sqlite:///boardfit.db")
    (key,) = listed_keys(engine)
    engine.dispose()
    assert (key.owner, key.scopes, key.public, key.rate) == ("chat", ("ask",), True, 600)
    assert key.expires_at is None


def test_rotating_shows_the_new_key_and_when_the_old_one_ends(capsys: pytest.CaptureFixture[str]) -> None:
    key_id = made(capsys, "till", "--scope", "ask")
    status, out, _ = run(capsys, "rotate", key_id, "--overlap-days", "3")
    assert status == 0
    first, _, last = out.splitlines()
    assert KEY.fullmatch(first)
    assert last.startswith(f"the key {key_id} is good until 20")
    rows = run(capsys, "list")[1].splitlines()[1:]
    assert [row.split()[0] for row in rows] == [key_id, read_key(first).id]


def test_revoking_tells_when_it_is_noticed(capsys: pytest.CaptureFixture[str]) -> None:
    key_id = made(capsys, "till", "--scope", "ask")
    status, out, err = run(capsys, "revoke", key_id)
    assert (status, err) == (0, "")
    assert "servers notice within 2 seconds" in out
    assert "revoked 20" in run(capsys, "list")[1]


def test_no_keys_are_told_as_such(capsys: pytest.CaptureFixture[str]) -> None:
    Path("boardfit.db").touch()
    assert "there are no keys" in run(capsys, "list")[1]


USE = [
    ([], "required"),
    (["make", "till"], "required: --scope"),
    (["make", "--scope", "ask"], "required: OWNER"),
    (["make", "till", "--scope", "aks"], "did you mean ask?"),
    (["make", "till", "--scope", "everything"], "use one of administer, ask, record, sell, stock"),
    (["make", "Till 2", "--scope", "ask"], "is no owner"),
    (["make", "t" * 65, "--scope", "ask"], "is no owner"),
    (["make", "till", "--scope", "ask", "--rate", "0"], "whole number from 1"),
    (["make", "till", "--scope", "ask", "--rate", "1e3"], "whole number from 1"),
    (["make", "till", "--scope", "ask", "--days", "x"], "whole number from 1"),
    (["make", "chat", "--scope", "ask", "--scope", "stock", "--public"], "may ask and nothing else"),
    (["make", "chat", "--scope", "sell", "--public"], "may ask and nothing else"),
    (["list"], "there is no database boardfit.db"),
    (["rotate", "aaaaaaaa"], "there is no database boardfit.db"),
    (["rotate", "aaaaaaaa", "--overlap-days", "-1"], "expected one argument|whole number from 0"),
    (["revoke"], "required: ID"),
]


@pytest.mark.parametrize(("arguments", "says"), USE, ids=[" ".join(each)[:60] for each, _ in USE])
def test_an_error_of_use_is_one_clear_line(
    capsys: pytest.CaptureFixture[str], arguments: list[str], says: str
) -> None:
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (2, "")
    assert err.startswith("error: ")
    assert err.count("\n") == 1
    assert any(each in err for each in says.split("|")), err


def test_an_id_that_is_none_is_told_with_the_closest(capsys: pytest.CaptureFixture[str]) -> None:
    key_id = made(capsys, "till", "--scope", "ask")
    wrong = key_id[:-1] + ("a" if key_id[-1] != "a" else "b")
    for action in ("rotate", "revoke"):
        status, _, err = run(capsys, action, wrong)
        assert status == 2
        assert f"did you mean {key_id}?" in err
    run(capsys, "revoke", key_id)
    assert "has ended already" in run(capsys, "rotate", key_id)[2]


@pytest.mark.parametrize("action", ["make", "list", "rotate", "revoke"])
def test_every_action_has_a_help(capsys: pytest.CaptureFixture[str], action: str) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["keys", action, "--help"])
    assert stopped.value.code == 0
    assert f"usage: python -m service keys {action}" in capsys.readouterr().out


def test_a_server_that_nobody_may_ask_says_so(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.cli.serve.serve", lambda *_, **__: None)
    assert main(["serve"]) == 0
    assert "nobody can ask yet: make a key with 'keys make" in capsys.readouterr().err
    made(capsys, "till", "--scope", "ask")
    assert main(["serve"]) == 0
    assert capsys.readouterr().err == ""
