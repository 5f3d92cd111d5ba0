"""`catalogue check` and `catalogue publish`: a file tells all its faults at once, or goes into force."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from service.cli.databases import opened
from service.cli.errors import UsageError
from service.domain.catalogue.model import Catalogue
from service.papers import Fault, canonical_document, check, read_catalogue
from service.settings import Settings
from service.store import revisions
from service.store.engine import reading, writing

FAULTY = 1


def add(parser: argparse.ArgumentParser) -> None:
    """The two commands."""
    actions = parser.add_subparsers(title="actions", metavar="ACTION", required=True)
    for name, action, told in (
        ("check", run_check, "report every fault of a catalogue file, with its place and its mend"),
        ("publish", run_publish, "put a catalogue file in force; running servers notice"),
    ):
        one = actions.add_parser(name, help=told, description=told[0].upper() + told[1:] + ".")
        one.add_argument("file", type=Path, metavar="FILE", help="the catalogue, in YAML")
        one.set_defaults(run=action)


def run_check(given: argparse.Namespace, settings: Settings) -> int:  # noqa: ARG001 - every command's signature
    """Print all faults, or what the catalogue holds."""
    text = _text(given.file)
    faults = check(text)
    return _refuse(given.file, faults) if faults else _tell(given.file, text)


def run_publish(given: argparse.Namespace, settings: Settings) -> int:
    """Publish a file without faults. The same content twice is the same revision."""
    text = _text(given.file)
    faults = check(text)
    if faults:
        return _refuse(given.file, faults)
    revision = read_catalogue(text).revision
    with opened(settings, must_exist=False) as engine:
        with reading(engine) as connection:
            before = revisions.current(connection)
        with writing(engine) as connection:
            published = revisions.publish(connection, canonical_document(text), revision)
    _tell_publication(published, before)
    return 0


def sound(file: Path) -> Catalogue:
    """The catalogue of a file, for commands that need one. Raises UsageError while it has faults."""
    text = _text(file)
    if check(text):
        raise UsageError(f"{file} has faults: 'catalogue check {file}' tells them")
    return read_catalogue(text)


def _tell_publication(published: revisions.Revision, before: revisions.Revision | None) -> None:
    last = before.number if before else 0
    if published.number > last:
        print(f"published revision {published.revision}, in force from now")
    elif published.number == last:
        print(f"revision {published.revision} is in force already")
    else:
        print(f"revision {published.revision} was published before; a later one is in force")


def _text(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        raise UsageError(f"cannot read {file}: {error.strerror}") from None


def _refuse(file: Path, faults: list[Fault]) -> int:
    for fault in faults:
        print(f"{file}: {fault}", file=sys.stderr)
    print(f"{file}: {len(faults)} fault{'s' if len(faults) > 1 else ''}, nothing published", file=sys.stderr)
    return FAULTY


def _tell(file: Path, text: bytes) -> int:
    found = read_catalogue(text)
    print(
        f"{file}: no faults, {len(found.models)} models, {len(found.parts)} parts, revision {found.revision}"
    )
    return 0
