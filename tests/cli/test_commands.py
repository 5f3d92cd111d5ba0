"""The commands that need no server, run in this process."""

from __future__ import annotations

from pathlib import Path

import pytest

from service.cli.main import main
from service.demo import serials as s
from service.demo.world import CATALOGUE, demo_catalogue
from service.settings import documented


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name, _, _ in documented():
        monkeypatch.delenv(name, raising=False)


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = main(arguments)
    told = capsys.readouterr()
    return status, told.out, told.err


def test_check_answers_in_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ("check", "--demo", "--board", s.USED_MAIN_60, "--unit", s.CUSTOMER_PLOVER_40)
    status, out, err = run(capsys, *asked)
    assert (status, err) == (0, "")
    assert out.startswith("DOES NOT FIT\n\nIt will not work in your Plover 40")
    # The second time the file is there already, and the answer is the same.
    assert run(capsys, *asked) == (status, out, err)
    assert Path("boardfit-demo.db").is_file()


USE = [
    ([], "required"),
    (["chek"], "invalid choice"),
    (["check"], "--board is missing: name the board by its serial"),
    (["check", "--demo", "--prat", "MN-4100"], "unrecognized arguments"),
    (["check", "--demo", "--par", "MN-4100"], "unrecognized arguments"),
    (["check", "--demo", "--part"], "expected one argument"),
    (["check", "--demo", "--part", "MN-4100", "--binding", "maybe"], "use one of blank, bound, used"),
    (["check", "--demo", "--part", "MN-410", "--model", "wren-4"], "did you mean MN-4100?"),
    (["check", "--demo", "--part", "MN-4100", "--model", "wren"], "did you mean wren-"),
    (["check", "--demo", "--role", "main", "--as-of", "tomorrow"], "a moment with its offset"),
    (
        ["check", "--demo", "--role", "main", "--as-of", "1999-01-01T00:00:00Z"],
        "no catalogue was published then",
    ),
    (["check", "--part", "MN-4100"], "there is no database boardfit.db"),
    (["demo", "--port", "0"], "is no port"),
    (["demo", "--port", "x"], "is no port"),
    (["demo", "--port", "70000"], "is no port"),
    (["serve", "--port", "-1"], "is no port|expected one argument"),
    (["catalogue"], "required"),
    (["catalogue", "check"], "required"),
    (["catalogue", "check", "nowhere.yaml"], "cannot read nowhere.yaml"),
    (["catalogue", "publish", "."], "cannot read ."),
    (["openapi", "no/such/folder/openapi.yaml"], "cannot write"),
]


@pytest.mark.parametrize(("arguments", "says"), USE, ids=[" ".join(each) or "nothing" for each, _ in USE])
def test_an_error_of_use_is_one_clear_line_and_status_2(
    capsys: pytest.CaptureFixture[str], arguments: list[str], says: str
) -> None:
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (2, "")
    assert err.startswith("error: ")
    assert err.count("\n") == 1
    assert any(each in err for each in says.split("|"))


@pytest.mark.parametrize(
    "command", [[], ["demo"], ["serve"], ["check"], ["catalogue"], ["catalogue", "check"], ["openapi"]]
)
def test_every_command_has_a_help(capsys: pytest.CaptureFixture[str], command: list[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([*command, "--help"])
    assert stopped.value.code == 0
    assert "usage: python -m service" in capsys.readouterr().out


def test_the_help_lists_every_setting(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    out = capsys.readouterr().out
    assert all(name in out for name, _, _ in documented())


def test_all_faults_of_the_settings_are_told_in_one_message(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BOARDFIT_PORT", "none")
    monkeypatch.setenv("BOARDFIT_WORKERS", "0")
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", "mysql://x")
    monkeypatch.setenv("BOARDFIT_PROT", "1")
    status, _, err = run(capsys, "check", "--demo", "--part", "MN-4100")
    assert status == 2
    assert all(
        name in err
        for name in ("BOARDFIT_PORT", "BOARDFIT_WORKERS", "BOARDFIT_DATABASE_URL", "BOARDFIT_PROT")
    )


def test_a_faultless_catalogue_is_told_to_be_one(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "catalogue", "check", str(CATALOGUE))
    assert status == 0
    assert "no faults, 9 models, 18 parts, revision r-" in out


def test_every_fault_of_a_catalogue_is_told_with_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    text = (
        demo_catalogue()
        .replace("models: [wren-4]}]", "models: [wren-44]}]")
        .replace('price: "29.50"', "price: 29.50")
    )
    Path("faulty.yaml").write_text(text, encoding="utf-8")
    for action in ("check", "publish"):
        status, out, err = run(capsys, "catalogue", action, "faulty.yaml")
        assert (status, out) == (1, "")
        assert "wren-44" in err
        assert "29.5" in err
        assert err.count("faulty.yaml: line ") == err.count("\n") - 1
    assert not Path("boardfit.db").exists()


def test_publishing_puts_a_catalogue_in_force_once(capsys: pytest.CaptureFixture[str]) -> None:
    Path("shop.yaml").write_text(demo_catalogue(), encoding="utf-8")
    assert "in force from now" in run(capsys, "catalogue", "publish", "shop.yaml")[1]
    assert "is in force already" in run(capsys, "catalogue", "publish", "shop.yaml")[1]
    changed = demo_catalogue().replace('price: "29.50"', 'price: "31.00"')
    Path("newer.yaml").write_text(changed, encoding="utf-8")
    assert "in force from now" in run(capsys, "catalogue", "publish", "newer.yaml")[1]
    assert "a later one is in force" in run(capsys, "catalogue", "publish", "shop.yaml")[1]
    status, out, _ = run(capsys, "check", "--part", "MN-4100", "--model", "wren-4", "--binding", "blank")
    assert status == 0
    assert out.startswith("FITS, WITH PROGRAMMING")


def test_an_empty_database_says_that_nothing_is_published(capsys: pytest.CaptureFixture[str]) -> None:
    Path("boardfit.db").touch()
    status, _, err = run(capsys, "check", "--part", "MN-4100")
    assert status == 2
    assert "no catalogue is published" in err


def test_a_database_that_is_none_is_told_in_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    Path("boardfit.db").write_text("this is no database, but a text that is long enough to look like one")
    status, _, err = run(capsys, "check", "--part", "MN-4100")
    assert status == 2
    assert "the database does not answer" in err
    assert err.count("\n") == 1


def test_a_question_is_answered_in_the_language_that_is_asked_for(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    asked = ["check", "--demo", "--model", "plover-40", "--part", "MN-4100", "--bound-model", "plover-60"]
    assert main([*asked, "--language", "sv"]) == 0
    assert capsys.readouterr().out.startswith("PASSAR INTE\n")
    assert main([*asked, "--language", "da"]) == 2
