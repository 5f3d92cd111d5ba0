"""The decision: both axes, the outcome, and every reason with whether it decides and whether it is certain.

Reads the table of worlds (`worlds`) once. A rule's finding *decides* where its rule is the first to fail
in some world; it is *certain* where it is found in all worlds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from service.domain.facts.case import CaseFacts
from service.domain.fit.ranks import FITS_MASK, NO_MASK, SCOPE_MASK, TOOL_MASK, YES_MASK
from service.domain.fit.worlds import Cell, Row, rows
from service.domain.place import Place
from service.domain.rules import FITS, OUT_OF_SCOPE
from service.domain.rules.binding import among_themselves
from service.domain.rules.finding import Finding, finding
from service.domain.rules.needed import need_findings
from service.domain.terms import BindingPolicy, Fit, Outcome, Programming, RoleId, Rule

UNIT = Place(RoleId(""))
"""Where a finding about the unit itself stands."""


class Told(NamedTuple):
    """A finding in one hub: whether it decides in some world there, and whether it is in all of them."""

    finding: Finding
    deciding: bool
    certain: bool


@dataclass(frozen=True, slots=True)
class Reason:
    """The findings of one code in one place, weighed over all worlds."""

    code: str
    rule: Rule
    place: Place
    fact: str
    """The attribute of the place that it rests on; empty for the unit's own facts."""
    facts: Mapping[str, tuple[str, ...]]
    """Further facts by name, with every value that they have in some world."""
    deciding: bool
    certain: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What the worlds agree on."""

    mask: int
    """The ranks that worlds have; 0 where the facts leave no world."""
    fit: Fit
    programming: Programming
    reasons: tuple[Reason, ...]
    rows: Sequence[Row]

    @property
    def outcome(self) -> Outcome:
        """The view of the two axes."""
        return outcome(self.fit, self.programming)


def outcome(fit: Fit, programming: Programming) -> Outcome:
    """The one truth table from axes to outcome."""
    match fit:
        case Fit.NO:
            return Outcome.DOES_NOT_FIT
        case Fit.UNKNOWN:
            return Outcome.CANNOT_TELL
        case Fit.YES:
            return Outcome.FITS if programming is Programming.NONE else Outcome.FITS_WITH_PROGRAMMING


def decide(facts: CaseFacts) -> Decision:
    """Judge a case in all of its worlds. Raises BoundExceeded past `worlds.MAX_CELLS`."""
    table = [row for row in rows(facts) if row.mask]
    mask = 0
    for row in table:
        mask |= row.mask
    fit = _fit(mask)
    return Decision(
        mask=mask,
        fit=fit,
        programming=_programming(mask, fit),
        reasons=_reasons(table),
        rows=table,
    )


def _fit(mask: int) -> Fit:
    if mask and not mask & ~NO_MASK:
        return Fit.NO
    if mask and not mask & ~YES_MASK:
        return Fit.YES
    return Fit.UNKNOWN


def _programming(mask: int, fit: Fit) -> Programming:
    match fit, mask:
        case Fit.NO, _:
            return Programming.NOT_APPLICABLE
        case Fit.YES, bits if bits == FITS_MASK:
            return Programming.NONE
        case Fit.YES, bits if bits == TOOL_MASK:
            return Programming.NEEDED
        case _:
            return Programming.UNKNOWN


def _reasons(table: Sequence[Row]) -> tuple[Reason, ...]:
    """All findings of all hubs, one reason for each code and place, the deciding ones first."""
    told: dict[tuple[str, Place], list[Told]] = {}
    sure_in: Counter[tuple[str, Place]] = Counter()
    for row in table:
        sure = set()
        for entry in _row_findings(row):
            key = entry.finding.code, entry.finding.place
            told.setdefault(key, []).append(entry)
            if entry.certain:
                sure.add(key)
        sure_in.update(sure)
    reasons = [_reason(entries, sure_in[key] == len(table)) for key, entries in told.items()]
    return tuple(sorted(reasons, key=lambda r: (not r.deciding, r.rule, r.place, r.code)))


def _reason(entries: Sequence[Told], certain: bool) -> Reason:
    first = entries[0].finding
    if len(entries) == 1:
        facts: Mapping[str, tuple[str, ...]] = {name: (value,) for name, value in first.facts}
    else:
        facts = merged(entry.finding.facts for entry in entries)
    deciding = any(entry.deciding for entry in entries)
    return Reason(first.code, first.rule, first.place, first.fact, facts, deciding, certain)


def merged(facts: Iterable[Iterable[tuple[str, str]]]) -> dict[str, tuple[str, ...]]:
    """Facts of several findings of one code: each name with all of its values, in order."""
    values: dict[str, set[str]] = {}
    for several in facts:
        for name, value in several:
            values.setdefault(name, set()).add(value)
    return {name: tuple(sorted(found)) for name, found in values.items()}


def _row_findings(row: Row) -> Iterator[Told]:
    highest = {place: mask.bit_length() - 1 for place, (_, mask) in row.places.items()}
    fits = bool(row.mask & YES_MASK)
    for found in row.set_findings:
        yield Told(found, found.rule <= min(highest.values(), default=FITS), True)
    if not row.hub.covered:
        yield Told(not_covered(row), bool(row.mask & SCOPE_MASK), True)
    for place, (cells, mask) in row.places.items():
        if mask != FITS_MASK:
            others = min((top for p, top in highest.items() if p != place), default=FITS)
            yield from _place_findings(row, cells, min(others, row.base.bit_length() - 1), fits)
    yield from _set_findings(row)


def not_covered(row: Row) -> Finding:
    """Rule 2: the unit's model is known, and this catalogue gives no answers about it."""
    return finding("model_not_covered", Rule.COVERED, UNIT, "", ("unit_model", row.hub.model.id))


def _place_findings(row: Row, cells: Sequence[Cell], others: int, fits: bool) -> Iterator[Told]:
    """Findings of one place. `others`: the highest rank that the rest of the set can have; a rule of this
    place decides where it is not above that. Needs are told where the set fits in some world."""
    decides: dict[Finding, bool] = {}
    counts: Counter[str] = Counter()
    for cell in cells:
        rank = cell.verdict.rank
        found = cell.verdict.findings
        if not found and fits:
            found = tuple(need_findings(row.hub, cell.board, cell.verdict.needs))
        for one in found:
            first = (one.rule == rank or rank > OUT_OF_SCOPE) and rank <= others
            decides[one] = decides.get(one, False) or first
            counts[one.code] += 1
    for one, deciding in decides.items():
        yield Told(one, deciding, counts[one.code] == len(cells))


def _set_findings(row: Row) -> Iterator[Told]:
    """Rule 6 told for the boards that bind, over the bindings they can have together. The board that is
    bound elsewhere decides by its own finding; these tell what follows, and never decide."""
    choices = [
        {cell.board.binding: cell for cell in cells}.values()
        for cells, _ in row.places.values()
        if _binds(row, cells)
    ]
    if len(choices) < 2 or not row.hub.covered or not any(_elsewhere(row, cells) for cells in choices):
        return
    combos = list(product(*choices))
    found = [one for combo in combos for one in among_themselves(row.hub, [cell.board for cell in combo])]
    counts = Counter((one.code, one.place) for one in found)
    for one in dict.fromkeys(found):
        yield Told(one, False, counts[one.code, one.place] == len(combos))


def _binds(row: Row, cells: Sequence[Cell]) -> bool:
    return any(row.hub.parts[cell.board.part].binding is not BindingPolicy.FREE for cell in cells)


def _elsewhere(row: Row, cells: Iterable[Cell]) -> bool:
    return any(cell.board.binding not in (None, row.hub.model.id) for cell in cells)
