"""Replacements lead on to a newest part: no circles, and nothing that takes another place on the machine."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from service.papers.draft import Draft, entries
from service.papers.faults import Report
from service.papers.places import Path

Edge = tuple[Path, Draft, Draft, bool]
"""Path of the entry, the part that replaces, the part that is replaced, both ways."""


def edges(draft: Draft) -> Iterator[Edge]:
    """Every replacement whose two parts can be read."""
    by_number = {part["number"]: part for _, part in entries(draft["parts"]) if part["number"]}
    for place, part in entries(draft["parts"]):
        for at, replaced in entries(part["replaces"]):
            older = by_number.get(replaced["part"])
            if older is not None and part["number"]:
                yield ("parts", place, "replaces", at), part, older, replaced["both_ways"]


def check_replacements(draft: Draft, report: Report) -> None:
    """Refuse a part that replaces itself, one of another role or binding, and circles."""
    for path, part, older, _ in edges(draft):
        if part is older:
            told = f"{part['number']} replaces itself"
            report.add("replaces_itself", path, told)
        elif part["role"] != older["role"]:
            told = f"{part['number']} ({part['role']}) replaces {older['number']} ({older['role']})"
            report.add("replaces_other_role", path, told)
        elif part["binding"] != older["binding"]:
            told = f"{part['number']} ({part['binding']}) replaces {older['number']} ({older['binding']})"
            report.add("replaces_other_binding", path, told)
    _check_circles(draft, report)


def _check_circles(draft: Draft, report: Report) -> None:
    """Look for circles among groups: parts that replace each other both ways count as one."""
    group = _merged((part["number"], older["number"]) for _, part, older, both in edges(draft) if both)
    older_groups: defaultdict[str, dict[str, tuple[Path, str]]] = defaultdict(dict)
    for path, part, older, both in edges(draft):
        newer, old = (group.get(number, number) for number in (str(part["number"]), str(older["number"])))
        if not both and newer != old:
            older_groups[newer].setdefault(old, (path, part["number"]))
    for circle in circles({newer: list(olds) for newer, olds in older_groups.items()}):
        onward = [*circle[1:], circle[0]]
        links = [older_groups[newer][old] for newer, old in zip(circle, onward, strict=True)]
        names = [number for _, number in links]
        told = f"these replace each other in a circle: {' → '.join([*names[:8], names[0]])}"
        report.add("replacement_circle", min(path for path, _ in links), told)


def circles(follows: Mapping[str, list[str]]) -> list[list[str]]:
    """Circles of a directed graph, each node in at most one; none exactly if the graph has none.

    A walk that always goes on to an unfinished node; coming back to a node of the walk is a circle.
    """
    finished: set[str] = set()
    found = []
    for start in follows:
        walk = {start: 0} if start not in finished else {}
        while walk:
            here = next(reversed(walk))
            onward = next((node for node in follows.get(here, ()) if node not in finished), None)
            if onward is None:
                finished.add(here)
                del walk[here]
            elif onward in walk:
                circle = list(walk)[walk[onward] :]
                found.append(circle)
                finished.update(circle)
                for node in circle:
                    del walk[node]
            else:
                walk[onward] = len(walk)
    return found


def groups_of_chains(draft: Draft) -> Mapping[str, str]:
    """For each part that replaces or is replaced, one name for all that are joined by replacements."""
    return _merged((part["number"], older["number"]) for _, part, older, _ in edges(draft))


def _merged(pairs: Iterator[tuple[str, str]]) -> dict[str, str]:
    """Names joined by pairs, directly or over others, to one of them."""
    group: dict[str, str] = {}

    def leader(name: str) -> str:
        while group.setdefault(name, name) != name:
            group[name] = name = group[group[name]]
        return name

    for one, other in pairs:
        group[leader(one)] = leader(other)
    return {name: leader(name) for name in list(group)}
