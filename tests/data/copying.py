"""Files written out of one ledger and read into another, without the command."""

from __future__ import annotations

import io
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Engine

from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import compile_catalogue
from service.files.lines import Lines
from service.files.reading import rows_of
from service.files.rows import Flaw, Form
from service.files.writing import encoded
from service.papers import read_catalogue
from service.settings import Settings
from service.store.engine import snapshot
from service.usecases.exporting.table import export_of
from service.usecases.importing.source import Subject, source_of
from service.usecases.importing.taking import Manner, take_in
from service.usecases.importing.tally import Tally
from service.usecases.shop import Shop
from service.wiring import open_shop
from tests.data.commands import opened

COMPILED = compile_catalogue(read_catalogue(demo_catalogue()))
"""The catalogue of every shop here."""
NOW = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)


class Watching:
    """Looks on, and keeps what was refused."""

    def __init__(self) -> None:
        self.flaws: list[Flaw] = []

    def refused(self, flaws: Sequence[Flaw]) -> None:
        self.flaws += flaws

    def moved(self, tally: Tally) -> None:
        """Nobody asks."""

    def stop(self) -> bool:
        return False


@contextmanager
def new_ledger(published_file: Path) -> Iterator[Engine]:
    """A shop of its own: the catalogue, and nothing else."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shop.db"
        shutil.copyfile(published_file, path)
        with opened(f"sqlite:///{path}") as engine:
            yield engine


def shop_on(engine: Engine) -> Shop:
    """A shop that need not read its catalogue first."""
    return open_shop(engine, Settings(), serving=False)._replace(catalogue=lambda: COMPILED)


def taken_in(engine: Engine, subject: Subject, content: bytes, form: Form) -> tuple[Tally, list[Flaw]]:
    shop = shop_on(engine)
    source = source_of(subject, COMPILED.catalogue, NOW)
    watching = Watching()
    rows = rows_of(Lines(io.BytesIO(content)), form, source.columns.naming)
    return take_in(shop, source, rows, Manner(), watching), watching.flaws


def written_out(engine: Engine, subject: Subject, form: Form) -> bytes:
    export = export_of(subject, COMPILED.catalogue)
    with snapshot(engine) as connection:
        return b"".join(encoded(export.rows(connection), export.columns, form))


def rows_out(engine: Engine, subject: Subject) -> list[Mapping[str, Any]]:
    """What is written, as values."""
    with snapshot(engine) as connection:
        return list(export_of(subject, COMPILED.catalogue).rows(connection))
