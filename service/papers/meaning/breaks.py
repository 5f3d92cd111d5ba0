"""Breaks: each row of a part's list has at most one, it holds something, and no two of a model overlap."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from typing import Any

from service.domain.serials import Scheme, Subject, Unreadable, UnreadableCause, decode, order_key
from service.domain.terms import ModelId
from service.papers.draft import Draft, direct_rows, values
from service.papers.faults import Report
from service.papers.places import Path

AXES = {"serial": ("serial_from", "serial_before"), "date": ("date_from", "date_before")}
SerialKey = Callable[[str], Any]
"""A break's serial to its place in the order of all serials; None where it has no single one."""


def check_breaks(draft: Draft, schemes: tuple[Scheme, ...], report: Report) -> None:
    """Check every row by itself, then the rows of one part and model against each other."""
    reader = BreakReader(schemes)
    for place, _, row_place, row in direct_rows(draft):
        check_row(reader, row, ("parts", place, "fits", row_place), report)
    for place in {place: None for place, _, _, _ in direct_rows(draft)}:
        _check_overlaps(draft["parts"][place], place, reader.key, report)


class BreakReader:
    """Reads the serials of breaks, each once."""

    def __init__(self, schemes: tuple[Scheme, ...]) -> None:
        self.schemes = schemes
        self._order = {scheme.id: place for place, scheme in enumerate(schemes)}
        self._models = {scheme.id: frozenset(_named(scheme)) for scheme in schemes}
        self._keys: dict[str, Any] = {}

    def key(self, serial: str) -> Any:
        """Layouts follow each other: a scheme's serials are younger than those of the schemes before it."""
        if serial not in self._keys:
            placed = order_key(self.schemes, Subject.UNIT, serial)
            self._keys[serial] = placed and (self._order[placed[0]], placed[1])
        return self._keys[serial]

    def fault(self, serial: str, models: list[str]) -> tuple[str, str] | None:
        """What is wrong with the serial of a break for these models: code and message."""
        found = decode(self.schemes, Subject.UNIT, serial)
        if isinstance(found, Unreadable):
            wanted = found.wanted if found.cause is UnreadableCause.CHECK_CHARACTER else ""
            why = f", its check character should be {wanted}" if wanted else ""
            return "break_unreadable", f"no unit scheme reads {serial}{why}"
        if self.key(serial) is None:
            return "break_unordered", f"{serial} has no certain place in the order of {found.scheme}"
        named = self._models[found.scheme]
        strange = [model for model in models if named and ModelId(model) not in named]
        if strange:
            return "break_of_other_model", f"{serial} is of {found.scheme}, which has no {strange[0]}"
        if found.models and found.models.isdisjoint(map(ModelId, models)):
            return "break_of_other_model", f"{serial} is a serial of {', '.join(sorted(found.models))}"
        return None


def _named(scheme: Scheme) -> Iterable[ModelId]:
    return (model for row in scheme.models.rows for model in row.targets)


def check_row(reader: BreakReader, row: Draft, path: Path, report: Report) -> None:
    """Check one break by itself: it has one axis, its serials can be read, and something lies in it."""
    used = [axis for axis, bounds in AXES.items() if any(row[bound] is not None for bound in bounds)]
    if len(used) > 1:
        report.add("two_axes", path, "the row has a break on the serial and one on the date")
    for bound in AXES["serial"]:
        if row[bound] is not None and (found := reader.fault(row[bound], values(row["models"]))):
            report.add(found[0], (*path, bound), found[1])
    for axis in used:
        first, before = _bounds(row, axis, reader.key)
        if first is not None and before is not None and first >= before:
            told = f"nothing lies from {row[AXES[axis][0]]} to before {row[AXES[axis][1]]}"
            report.add("empty_break", (*path, AXES[axis][1]), told)


def _bounds(row: Draft, axis: str, key: SerialKey) -> tuple[Any, Any]:
    first, before = (row[bound] for bound in AXES[axis])
    if axis == "date":
        return first, before
    return first and key(first), before and key(before)


def _check_overlaps(part: Draft, place: int, key: SerialKey, report: Report) -> None:
    rows: defaultdict[str, list[tuple[int, Draft]]] = defaultdict(list)
    for row_place, row in enumerate(part["fits"]):
        if isinstance(row, dict):
            for model in values(row["models"]):
                rows[model].append((row_place, row))
    told: set[tuple[int, int]] = set()
    for model, listed in rows.items():
        for first, second in _overlapping(listed, key) if len(listed) > 1 else ():
            if (first, second) not in told:
                told.add((first, second))
                message = f"fits[{first}] and this row both list {model}, and overlap"
                report.add("overlapping_rows", ("parts", place, "fits", second), message)


def _overlapping(listed: list[tuple[int, Draft]], key: SerialKey) -> Iterable[tuple[int, int]]:
    """Pairs of rows that share something on one axis. A row without a break is the whole of both."""
    for axis, bounds in AXES.items():
        other = AXES["date" if axis == "serial" else "serial"]
        spans = [
            (*_bounds(row, axis, key), place)
            for place, row in listed
            if not any(row[bound] is not None for bound in other) and _readable(row, axis, bounds, key)
        ]
        yield from _overlapping_spans(spans)


def _readable(row: Draft, axis: str, bounds: tuple[str, str], key: SerialKey) -> bool:
    return axis == "date" or all(row[bound] is None or key(row[bound]) is not None for bound in bounds)


def _overlapping_spans(spans: list[tuple[Any, Any, int]]) -> Iterable[tuple[int, int]]:
    """Neighbours in order of their beginning that overlap; None is unbounded."""
    ordered = sorted(spans, key=lambda span: (span[0] is not None, span[0], span[2]))
    furthest: tuple[Any, Any, int] | None = None
    for span in ordered:
        if furthest is not None:
            if furthest[1] is None or span[0] is None or span[0] < furthest[1]:
                yield min(furthest[2], span[2]), max(furthest[2], span[2])
            if furthest[1] is None or (span[1] is not None and span[1] <= furthest[1]):
                continue
        furthest = span
