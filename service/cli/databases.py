"""The database that a command works on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from sqlalchemy import Engine, make_url

from service.cli.errors import UsageError
from service.demo.making import make_or_reuse
from service.settings import Settings
from service.wiring import open_database

DEMO_FILE = Path("boardfit-demo.db")


def of_demo(settings: Settings, file: Path = DEMO_FILE) -> Settings:
    """The settings with the demo's database, which is made where it is missing."""
    made = make_or_reuse(file)
    return replace(settings, database_url=f"sqlite:///{made}")


@contextmanager
def opened(settings: Settings, *, must_exist: bool) -> Iterator[Engine]:
    """The database at this version. Raises UsageError for a SQLite file that has to be there and is not."""
    url = make_url(settings.database_url)
    if must_exist and url.get_backend_name() == "sqlite" and not Path(url.database or "").is_file():
        raise UsageError(
            f"there is no database {url.database}: publish a catalogue first with 'catalogue publish FILE', "
            "or name another database in BOARDFIT_DATABASE_URL; 'check' can ask the demo's with --demo"
        )
    engine = open_database(settings)
    try:
        yield engine
    finally:
        engine.dispose()
