"""Serial schemes: each can be read, names what there is, and none claims the serials of another."""

from __future__ import annotations

from itertools import combinations
from typing import Any

from service.domain.serials import Scheme, SchemeFaults, overlap, scheme_from_document
from service.papers.draft import Draft, entries
from service.papers.faults import Report
from service.papers.places import Path
from service.papers.shapes.context import Context, Kind
from service.papers.shapes.scalars import Ref

TARGETS = {"models": Ref(Kind.MODEL), "parts": Ref(Kind.PART)}


def read_schemes(draft: Draft, context: Context) -> tuple[Scheme, ...]:
    """The schemes that can be read, in the document's order; faults of the others go into the report."""
    schemes: dict[str, tuple[int, Scheme]] = {}
    for place, document in entries(draft["schemes"]):
        _check_targets(document, ("schemes", place), context)
        scheme = _read(document, ("schemes", place), context.report)
        if scheme is not None and scheme.id in schemes:
            told = f"the scheme {scheme.id} stands there twice"
            context.report.add("duplicate_key", ("schemes", place, "id"), told)
        elif scheme is not None:
            schemes[scheme.id] = place, scheme
    _check_overlaps(list(schemes.values()), context.report)
    return tuple(scheme for _, scheme in schemes.values())


def _read(document: Any, path: Path, report: Report) -> Scheme | None:
    try:
        return scheme_from_document(document)
    except SchemeFaults as faults:
        for fault in faults.faults:
            report.add("bad_scheme", (*path, *fault.path), fault.message, fault.mend)
        return None


def _check_targets(document: Any, path: Path, context: Context) -> None:
    """Every model and part that a scheme's rows name is one of the catalogue's."""
    for field, ref in TARGETS.items():
        rows = document.get(field) if isinstance(document, dict) else None
        for place, row in enumerate(rows if isinstance(rows, list) else ()):
            targets = row.get(field) if isinstance(row, dict) else None
            for at, target in enumerate(targets if isinstance(targets, list) else ()):
                # What is no text here is a fault of the scheme's own shape.
                if isinstance(target, str):
                    ref.read(target, (*path, field, place, field, at), context)


def _check_overlaps(schemes: list[tuple[int, Scheme]], report: Report) -> None:
    for (_, first), (place, second) in combinations(schemes, 2):
        shared = overlap(first, second)
        if shared is not None:
            told = f"{second.id} and {first.id} both claim serials such as {shared}"
            report.add("scheme_overlap", ("schemes", place), told)
