"""Settings: read from the environment, every fault told with its mend."""

from __future__ import annotations

import pytest

from service.settings import Settings, SettingsError, documented, from_environment


def test_an_empty_environment_gives_the_documented_defaults() -> None:
    settings = from_environment({"PATH": "/bin", "OTHER_PORT": "x"})
    assert settings == Settings()
    for name, default, meaning in documented():
        assert str(getattr(settings, name.removeprefix("BOARDFIT_").lower())) == default
        assert meaning


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
    ("BOARDFIT_KEY_CHECK_SECONDS", "61", "from 0 to 60"),
    ("BOARDFIT_RATE_STORE", "redis", "must be memory or database"),
    ("BOARDFIT_CORS_ORIGINS", "*", "is no web origin"),
    ("BOARDFIT_DATABASE", "x", "did you mean database_url"),
    ("BOARDFIT_", "x", "is no setting"),
]


@pytest.mark.parametrize(("name", "value", "mend"), FAULTS)
def test_a_fault_is_told_with_its_name_and_mend(name: str, value: str, mend: str) -> None:
    with pytest.raises(SettingsError) as raised:
        from_environment({name: value})
    assert f"{name}: " in str(raised.value)
    assert mend in str(raised.value)


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(SettingsError) as raised:
        from_environment({"BOARDFIT_PORT": "x", "BOARDFIT_WORKERS": "x", "BOARDFIT_NOTHING": "x"})
    assert str(raised.value).count("\n") == 3
