"""One number, one part: order numbers and the numbers printed on boards must lead to one answer."""

from __future__ import annotations

from collections.abc import Mapping

from service.domain.parts.numbers import folded
from service.papers.draft import Draft, entries
from service.papers.faults import Report
from service.papers.meaning.replacements import groups_of_chains
from service.papers.places import Path


def check_numbers(draft: Draft, report: Report) -> None:
    """Refuse order numbers that are written alike, and printed numbers that lead to two parts."""
    ordered: dict[str, str] = {}
    for place, part in entries(draft["parts"]):
        number = part["number"]
        if number is None:
            continue
        first = ordered.setdefault(folded(number), number)
        if first is not number:
            told = f"the number {number} is taken already" + ("" if first == number else f", as {first}")
            report.add("duplicate_part", ("parts", place, "number"), told)
    _check_printed(draft, report, ordered)


def _check_printed(draft: Draft, report: Report, ordered: dict[str, str]) -> None:
    chains = groups_of_chains(draft)
    printed: dict[str, Draft] = {}
    for place, part in entries(draft["parts"]):
        for at, number in entries(part["printed"]):
            path: Path = ("parts", place, "printed", at)
            key = folded(number)
            owner = ordered.get(key)
            if owner is not None and owner != part["number"]:
                _clash(report, path, number, f"is the order number of {owner}")
            other = printed.setdefault(key, part)
            # Makes of one part that follow each other may carry one number: the newest is the answer.
            if other is not part and _chain(chains, other) != _chain(chains, part):
                _clash(report, path, number, f"is printed on {other['number']} too, of another line")


def _chain(chains: Mapping[str, str], part: Draft) -> str | None:
    """The name of all parts that follow each other with this one; a part alone is its own."""
    return chains.get(part["number"], part["number"])


def _clash(report: Report, path: Path, number: str, why: str) -> None:
    report.add("printed_number_clash", path, f"the printed number {number} {why}")
