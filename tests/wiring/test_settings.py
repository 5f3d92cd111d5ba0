"""Settings: read from the environment and a file, every fault told with its mend, no secret shown."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from sqlalchemy import make_url

from service.cli.main import main
from service.settings import SETTINGS_FILE, Settings, SettingsError, documented, from_environment, in_force

PASSWORD = "p@ss/w:rd 100%"  # noqa: S105 - a value of these tests
SERVER = "postgresql://shop@db:5432/boardfit"


def test_an_empty_environment_gives_the_documented_defaults() -> None:
    found = in_force({"PATH": "/bin", "OTHER_PORT": "x"})
    assert found.settings == Settings()
    assert found.rows() == [(name, default, "default") for name, default, _ in documented()]
    assert all(meaning for _, _, meaning in documented())


def test_what_is_set_is_taken() -> None:
    settings = from_environment(
        {
            "BOARDFIT_DATABASE_URL": " postgresql://shop@db/boardfit ",
            "BOARDFIT_PORT": "9000",
            "BOARDFIT_HOST": "0.0.0.0",  # noqa: S104 - a value of a test, nothing listens
        }
    )
    assert settings.database_url == "postgresql://shop@db/boardfit"
    assert (settings.port, settings.host) == (9000, "0.0.0.0")  # noqa: S104 - the same


FAULTS = [
    ("BOARDFIT_PORT", "0", "from 1 to 65535"),
    ("BOARDFIT_PORT", "65536", "from 1 to 65535"),
    ("BOARDFIT_PORT", "80x", "from 1 to 65535"),
    ("BOARDFIT_PORT", "\u0661", "from 1 to 65535"),
    ("BOARDFIT_PORT", "", "from 1 to 65535"),
    ("BOARDFIT_WORKERS", "65", "from 1 to 64"),
    ("BOARDFIT_THREADS", "-1", "from 1 to 64"),
    ("BOARDFIT_MAX_BODY_BYTES", "10", "from 1024 to"),
    ("BOARDFIT_CATALOGUE_CHECK_SECONDS", "1.5", "from 0 to 60"),
    ("BOARDFIT_HOST", "  ", "must not be empty"),
    ("BOARDFIT_DATABASE_URL", "mysql://x/y", "must be sqlite:///FILE or postgresql://"),
    ("BOARDFIT_DATABASE_URL", "boardfit.db", "must be sqlite:///FILE or postgresql://"),
    ("BOARDFIT_DATABASE_URL", "sqlite:///", "must name a file"),
    ("BOARDFIT_LOG_LEVEL", "debug", "must be info or warning or error"),
    ("BOARDFIT_METRICS_FROM", "10.1.2.3/24", "is no address and no network"),
    ("BOARDFIT_METRICS_FOLDER", "/no/such/folder", "must be a folder that is there"),
    ("BOARDFIT_KEY_CHECK_SECONDS", "61", "from 0 to 60"),
    ("BOARDFIT_RATE_STORE", "redis", "must be memory or database"),
    ("BOARDFIT_CORS_ORIGINS", "*", "is no web origin"),
    ("BOARDFIT_DATABASE", "x", "did you mean BOARDFIT_DATABASE_"),
    ("BOARDFIT_PROT", "x", "did you mean BOARDFIT_PORT?"),
    ("BOARDFIT_PORT_FILE", "x", "did you mean BOARDFIT_PORT?"),
    ("boardfit_port", "x", "did you mean BOARDFIT_PORT?"),
    ("BOARDFIT_", "x", "is no setting"),
    ("BOARDFIT_DATABASE_URL", "postgresql://a:b/c@d:e/f", "percent-encode"),
    ("BOARDFIT_DATABASE_PASSWORD", "", "must not be empty"),
    ("BOARDFIT_DATABASE_PASSWORD", "x", "a SQLite file takes no password"),
    ("BOARDFIT_DATABASE_PASSWORD_FILE", "/no/such/file", "'/no/such/file' cannot be read"),
    ("BOARDFIT_SETTINGS_FILE", "/no/such/file", "'/no/such/file' cannot be read"),
    ("BOARDFIT_SETTINGS_FILE", "/", "cannot be read"),
]


@pytest.mark.parametrize(("name", "value", "mend"), FAULTS)
def test_a_fault_is_told_with_its_name_and_mend(name: str, value: str, mend: str) -> None:
    assert f"{name}: " in (said := refused({name: value}))
    assert mend in said


def refused(environment: Mapping[str, str]) -> str:
    """What is said of an environment that makes no settings."""
    with pytest.raises(SettingsError) as raised:
        from_environment(environment)
    return str(raised.value)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    file = written(tmp_path, 'databse_url = "x"\nthreads = 0\nrate_store = true\n')
    said = refused(
        {"BOARDFIT_PORT": "x", "BOARDFIT_WORKERS": "x", "BOARDFIT_NOTHING": "x", SETTINGS_FILE: file}
    )
    assert said.count("\n") == 6
    assert f"{file}: databse_url: is no setting, did you mean database_url?" in said
    assert f"{file}: threads: must be a whole number from 1 to 64" in said
    assert f"{file}: rate_store: must be a text, a whole number or a list of texts" in said


def written(folder: Path, content: str, name: str = "boardfit.toml") -> str:
    """The path of a new file."""
    (folder / name).write_text(content, encoding="utf-8")
    return str(folder / name)


def test_a_file_is_read_and_the_environment_overrules_it(tmp_path: Path) -> None:
    file = written(
        tmp_path, 'port = 9000\nhost = "::1"\ncors_origins = ["https://a.example", "https://b.example"]\n'
    )
    found = in_force({SETTINGS_FILE: file, "BOARDFIT_PORT": "9001"})
    assert (found.settings.port, found.settings.host) == (9001, "::1")
    assert found.settings.allowed_origins == {"https://a.example", "https://b.example"}
    sources = {name: source for name, _, source in found.rows()}
    assert (sources["BOARDFIT_PORT"], sources["BOARDFIT_HOST"]) == ("environment", file)
    assert sources["BOARDFIT_WORKERS"] == "default"


def test_what_is_overruled_has_to_be_right_all_the_same(tmp_path: Path) -> None:
    file = written(tmp_path, "port = 0\n")
    assert f"{file}: port: " in refused({SETTINGS_FILE: file, "BOARDFIT_PORT": "9001"})


@pytest.mark.parametrize("content", ["port = ", "port 8000", "[database]\nurl = 'x'\n", "port = 1.5\n"])
def test_a_file_that_is_no_list_of_settings_is_refused(tmp_path: Path, content: str) -> None:
    assert "boardfit.toml" in refused({SETTINGS_FILE: written(tmp_path, content)})


@pytest.mark.parametrize("end", ["", "\n", "\r\n"])
def test_a_password_may_stand_in_a_file_of_its_own(tmp_path: Path, end: str) -> None:
    secret = written(tmp_path, PASSWORD + end, "password")
    told = {"BOARDFIT_DATABASE_URL": SERVER, "BOARDFIT_DATABASE_PASSWORD_FILE": secret}
    url = make_url(from_environment(told).database_url)
    assert (url.password, url.username, url.host, url.port) == (PASSWORD, "shop", "db", 5432)
    file = written(tmp_path, f'database_url = "{SERVER}"\ndatabase_password_file = "{secret}"\n')
    assert make_url(from_environment({SETTINGS_FILE: file}).database_url) == url
    whole = written(tmp_path, url.render_as_string(hide_password=False) + end, "url")
    assert make_url(from_environment({"BOARDFIT_DATABASE_URL_FILE": whole}).database_url) == url


@pytest.mark.parametrize(
    ("told", "mend"),
    [
        ({"BOARDFIT_DATABASE_URL": "postgresql://db/x"}, "has to name the user"),
        ({"BOARDFIT_DATABASE_URL": "postgresql://a:b@db/x"}, "has a password already"),
        ({"BOARDFIT_DATABASE_URL": SERVER, "BOARDFIT_DATABASE_PASSWORD_FILE": "/x"}, "is told twice"),
    ],
)
def test_a_password_has_one_place(told: Mapping[str, str], mend: str) -> None:
    said = refused({**told, "BOARDFIT_DATABASE_PASSWORD": PASSWORD})
    assert mend in said
    assert PASSWORD not in said


@pytest.mark.parametrize(
    "told",
    [
        {"BOARDFIT_DATABASE_URL": SERVER, "BOARDFIT_DATABASE_PASSWORD": "hushhush"},
        {"BOARDFIT_DATABASE_URL": "postgresql://shop:hushhush@db/boardfit"},
        {"BOARDFIT_DATABASE_URL": "postgresql:///boardfit?user=shop&password=hushhush&host=/run"},
        {"BOARDFIT_DATABASE_URL": "postgresql://shop@db/boardfit?sslkey=k.pem&sslpassword=hushhush"},
        {"BOARDFIT_DATABASE_URL": "postgresql://shop@db/boardfit?oauth_client_secret=hushhush"},
        {"BOARDFIT_DATABASE_URL": "postgresql://shop@db/boardfit?scram_client_key=hushhush&sslmode=require"},
    ],
)
def test_the_command_shows_what_is_in_force_and_no_secret(
    told: Mapping[str, str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, value in told.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setenv("BOARDFIT_PORT", "9000")
    assert main(["settings"]) == 0
    shown = capsys.readouterr().out
    assert [line.split()[0] for line in shown.splitlines()][:-1] == [name for name, _, _ in documented()]
    assert "9000" in shown
    assert "***" in shown
    assert "environment" in shown
    assert "hushhush" not in shown + repr(from_environment(told))


def test_a_faulty_secret_is_not_told() -> None:
    for url in ("mysql://shop:hushhush@db/x", "postgresql://shop:hush/hush@db:x/y"):
        assert "hush" not in refused({"BOARDFIT_DATABASE_URL": url})
