"""`export`: boards, units and events into files that `import` takes in again."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import Any, BinaryIO

from service.cli.databases import opened
from service.cli.errors import UsageError
from service.cli.import_options import add_format, flag
from service.cli.importing import NO_CATALOGUE
from service.cli.progress import Progress, shown
from service.files.reading import form_of_name
from service.files.rows import Form
from service.files.whole import whole_file
from service.files.writing import encoded
from service.settings import Settings
from service.store.engine import snapshot
from service.usecases.exporting.table import Export, export_of
from service.usecases.importing.source import Subject
from service.usecases.shop import NoCatalogue, Shop
from service.wiring import open_shop

EVERY_ROWS = 1_000
"""Between two looks at the clock."""

ABOUT = {
    Subject.BOARDS: "every board, as far as the columns of import boards can tell of it",
    Subject.UNITS: "every unit in service, with its factory boards where nobody has touched them",
    Subject.EVENTS: "the whole ledger: importing it into an empty database makes the same one",
}


def add(parser: argparse.ArgumentParser) -> None:
    """The command, one for each kind of file."""
    kinds = parser.add_subparsers(title="what to write", metavar="KIND", required=True)
    for subject in Subject:
        one = kinds.add_parser(
            subject.value, help=ABOUT[subject], description=ABOUT[subject].capitalize() + "."
        )
        add_format(one)
        told = "the file; without it, standard output. A file is there when it is whole, and not before"
        one.add_argument("-o", "--output", type=Path, metavar="FILE", help=told)
        flag(one, "--quiet", "show no progress")
        one.set_defaults(run=run, subject=subject)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Write the file, all of one moment."""
    form = given.format or form_of_name(str(given.output)) or Form.CSV
    with opened(settings, must_exist=True) as engine:
        shop = open_shop(engine, settings, serving=False)
        export = _export(shop, given.subject)
        try:
            with _output(given.output) as stream:
                written = _write(shop, export, form, stream, quiet=given.quiet or given.output is None)
        except OSError as error:
            raise UsageError(f"cannot write {given.output}: {error.strerror}") from None
    if given.output is not None:
        print(f"{given.output}: {written:,} {given.subject.value} written")
    return 0


def _export(shop: Shop, subject: Subject) -> Export:
    try:
        return export_of(subject, shop.catalogue().catalogue)
    except NoCatalogue:
        raise UsageError(NO_CATALOGUE) from None


def _write(shop: Shop, export: Export, form: Form, stream: BinaryIO, *, quiet: bool) -> int:
    with snapshot(shop.database) as connection:
        about = export.about(connection)
        with shown("written", about, quiet=quiet) as progress:
            counted = _Counted(export.rows(connection), progress)
            stream.writelines(encoded(counted, export.columns, form))
    return counted.count


class _Counted:
    """Rows, counted as they go by."""

    def __init__(self, rows: Iterable[dict[str, Any]], progress: Progress) -> None:
        self._rows = rows
        self._progress = progress
        self.count = 0

    def __iter__(self) -> Iterator[dict[str, Any]]:
        for row in self._rows:
            yield row
            self.count += 1
            if self.count % EVERY_ROWS == 0:
                self._progress.at(self.count, f"{self.count:,}")


def _output(file: Path | None) -> AbstractContextManager[BinaryIO]:
    return nullcontext(sys.stdout.buffer) if file is None else whole_file(file)
