"""`import`: boards, units and events out of files, with every line that is refused told of."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, BinaryIO

from sqlalchemy.exc import DBAPIError

from service.cli.collecting import rare_collections
from service.cli.databases import opened
from service.cli.errors import UsageError
from service.cli.import_options import add_options, described, listed
from service.cli.progress import shown
from service.cli.stopping import asked_to_stop
from service.cli.watching import Watcher, counted
from service.files.lines import Lines
from service.files.reading import form_of_name, rows_of
from service.files.rows import Unusable
from service.settings import Settings
from service.usecases.importing.source import Source, Subject, source_of
from service.usecases.importing.taking import Manner, take_in
from service.usecases.importing.tally import Tally
from service.usecases.shop import NoCatalogue, Shop
from service.wiring import open_shop

STDIN = Path("-")
REFUSED = 1
INTERRUPTED = 130
NO_CATALOGUE = "no catalogue is published: use 'catalogue publish FILE' first"


def add(parser: argparse.ArgumentParser) -> None:
    """The command, one for each kind of file."""
    kinds = parser.add_subparsers(title="what the file holds", metavar="KIND", required=True)
    for subject in Subject:
        one = kinds.add_parser(
            subject.value,
            help=f"{subject.value}, one on each line",
            description=described(subject),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        add_options(one)
        one.set_defaults(run=run, subject=subject)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Take a file in; 0, or 1 where lines were refused, or 130 where it was stopped."""
    if given.file is None and not given.columns:
        raise UsageError(f"say which file to import: import {given.subject.value} FILE")
    with opened(settings, must_exist=True) as engine:
        shop = open_shop(engine, settings, serving=False)
        source = _source(shop, given.subject)
        if given.columns:
            print(listed(source.columns))
            return 0
        return _import(shop, source, given)


def _source(shop: Shop, subject: Subject) -> Source:
    try:
        return source_of(subject, shop.catalogue().catalogue, datetime.now(UTC))
    except NoCatalogue:
        raise UsageError(NO_CATALOGUE) from None


def _import(shop: Shop, source: Source, given: argparse.Namespace) -> int:
    manner = Manner(whole=given.all_or_nothing, dry=given.dry_run)
    with _input(given.file) as stream, _report(given.report) as report, asked_to_stop() as stopped:
        lines, name = Lines(stream), _name(given.file)
        with shown(name, _length(stream), quiet=given.quiet) as progress:
            watcher = Watcher(name, lines, progress, report, stopped)
            form = given.format or form_of_name(name)
            try:
                rows = rows_of(lines, form, source.columns.naming)
                with rare_collections():
                    take_in(shop, source, rows, manner, watcher)
            except Unusable as error:
                raise UsageError(f"{name}: {error}") from None
            except (DBAPIError, KeyboardInterrupt):
                _tell(name, watcher.tally, manner, stopped=True)
                raise
        _tell(name, watcher.tally, manner, stopped=stopped())
        if stopped():
            return INTERRUPTED
    return REFUSED if watcher.tally.refused else 0


def _tell(name: str, tally: Tally, manner: Manner, *, stopped: bool) -> None:
    told = f"{name}: {counted(tally)}"
    if manner.dry or (manner.whole and (stopped or tally.refused)):
        told += "; nothing was written"
    elif stopped:
        told += "; that stands, run it again to go on"
    print(told, flush=True)


@contextmanager
def _input(file: Path) -> Iterator[BinaryIO]:
    if file == STDIN:
        yield sys.stdin.buffer
        return
    try:
        stream = file.open("rb")
    except OSError as error:
        raise UsageError(f"cannot read {file}: {error.strerror}") from None
    with stream:
        yield stream


def _report(file: Path | None) -> Any:
    if file is None:
        return nullcontext()
    try:
        return file.open("wb")
    except OSError as error:
        raise UsageError(f"cannot write {file}: {error.strerror}") from None


def _name(file: Path) -> str:
    return "standard input" if file == STDIN else str(file)


def _length(stream: BinaryIO) -> int | None:
    """The bytes to read, where they can be known; a pipe has no length."""
    try:
        return os.fstat(stream.fileno()).st_size or None
    except OSError:
        return None
