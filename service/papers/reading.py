"""A catalogue file from text to value: parse, read by shapes, check the meaning, build."""

from __future__ import annotations

import json
from collections.abc import Iterator

from service.domain.catalogue.model import Catalogue
from service.domain.serials import Scheme
from service.papers.building import build
from service.papers.canonical import canonical, revision_of
from service.papers.draft import Draft
from service.papers.faults import CatalogueFaults, Fault, Report
from service.papers.format_one import DOCUMENT
from service.papers.meaning import check_meaning, read_schemes
from service.papers.shapes.context import BAD, Context, Kind
from service.papers.yaml_text import Unreadable, parse

SECTIONS = {
    Kind.MARKET: "markets",
    Kind.FEATURE: "features",
    Kind.ACCESSORY: "accessories",
    Kind.ROLE: "roles",
    Kind.CAPABILITY: "capabilities",
    Kind.FAMILY: "families",
    Kind.MODEL: "models",
}
"""Where the names of each kind are defined, as keys."""


def check(text: str | bytes) -> list[Fault]:
    """Every fault of a catalogue file, in the order of the lines; empty if it can be published.

    Never raises, whatever the text. A text that is not YAML has one fault, where it stops to be.
    """
    report = Report()
    _read(text, report)
    return report.faults()


def read_catalogue(text: str | bytes) -> Catalogue:
    """The catalogue of a file. Raises `CatalogueFaults` with all that `check` finds.

    The same content is the same revision, whatever the layout, the comments and the order of fields.
    """
    draft, schemes = _faultless(text)
    return build(draft, schemes, revision_of(canonical(draft)))


def canonical_document(text: str | bytes) -> str:
    """The content of a catalogue file as canonical JSON. Raises `CatalogueFaults`."""
    draft, _ = _faultless(text)
    return canonical(draft)


def load_document(document: str) -> Catalogue:
    """The catalogue of a canonical document that was checked when it was published.

    The meaning is not checked again: what was published stays readable when a later version checks more.
    Raises `CatalogueFaults` for a text that is no document of the format at all. Its faults have no lines.
    """
    report = Report(first_line=0)
    try:
        root = json.loads(document)
    except ValueError as error:
        report.add("unreadable", (), f"the text is not JSON ({error})")
        raise CatalogueFaults(report.faults()) from error
    _, draft, schemes = _shaped(root, report)
    if report:
        raise CatalogueFaults(report.faults())
    return build(draft, schemes, revision_of(document))


def _faultless(text: str | bytes) -> tuple[Draft, tuple[Scheme, ...]]:
    report = Report()
    read = _read(text, report)
    if report:
        raise CatalogueFaults(report.faults())
    return read


def _read(text: str | bytes, report: Report) -> tuple[Draft, tuple[Scheme, ...]]:
    try:
        report.root = parse(text, report)
    except Unreadable:
        return {}, ()
    context, draft, schemes = _shaped(report.root, report)
    if draft:
        check_meaning(draft, schemes, context)
    return draft, schemes


def _shaped(root: object, report: Report) -> tuple[Context, Draft, tuple[Scheme, ...]]:
    """The document as its shapes read it, with holes where faults are; empty if it is no document at all."""
    context = Context(report, _names(root if isinstance(root, dict) else {}))
    draft = DOCUMENT.read(root, (), context)
    if draft is BAD:
        return context, {}, ()
    return context, draft, read_schemes(draft, context)


def _names(root: dict[str, object]) -> dict[Kind, frozenset[str] | None]:
    """What the document defines, before it is read: a name may be used above its definition."""
    found: dict[Kind, frozenset[str] | None] = {}
    for kind, section in SECTIONS.items():
        told = root.get(section, None if DOCUMENT.entries[section].required else {})
        found[kind] = frozenset(told) if isinstance(told, dict) else None
    parts = root.get("parts")
    found[Kind.PART] = frozenset(_numbers(parts)) if isinstance(parts, list) else None
    return found


def _numbers(parts: list[object]) -> Iterator[str]:
    for part in parts:
        number = part.get("number") if isinstance(part, dict) else None
        if isinstance(number, str):
            yield number.strip()
