"""Releases can be planned: where conditions are stated they are versions in order, and every range is met."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.domain.software.ranges import Range, parse_range
from service.domain.software.versions import Version, is_version, parse_version
from service.papers.draft import Draft, entries
from service.papers.faults import Report
from service.papers.places import Path


def check_software(draft: Draft, report: Report) -> None:
    """Check the releases of every role of which conditions are stated, or that a range points at."""
    roles = dict(entries(draft["roles"]))
    asked = {
        other for role in roles.values() for _, told in entries(role["releases"]) for other in told["needs"]
    }
    listed = {
        role: _versions(("roles", role, "releases"), told, report)
        for role, told in roles.items()
        if role in asked or any(_has_conditions(each) for _, each in entries(told["releases"]))
    }
    parts = {part["number"]: part for _, part in entries(draft["parts"])}
    for role, told in roles.items():
        for at, each in entries(told["releases"]):
            path: Path = ("roles", role, "releases", at)
            _check_ranges(path, role, each, roles, listed, report)
            _check_parts(path, role, each, parts, report)
            _check_models(path, role, each, draft, report)
    _check_arrivals(draft, roles, report)


def _has_conditions(told: Draft) -> bool:
    return any(value not in (None, {}) for name, value in told.items() if name != "version")


def _versions(path: Path, role: Draft, report: Report) -> tuple[Version, ...] | None:
    """The versions of a role's releases; None where some cannot be read or stand out of order."""
    found: list[Version] = []
    names = [(at, told["version"]) for at, told in entries(role["releases"]) if told["version"] is not None]
    for at, name in names:
        if not is_version(name):
            said = f"{name} is no version, and conditions are stated of this role's releases"
            report.add("release_not_a_version", (*path, at), said)
        elif found and parse_version(name) <= found[-1]:
            report.add(
                "releases_out_of_order", (*path, at), f"{name} is not newer than {found[-1]} before it"
            )
        else:
            found.append(parse_version(name))
    return tuple(found) if len(found) == len(role["releases"]) else None


def _check_ranges(
    path: Path,
    role: str,
    told: Draft,
    roles: Mapping[str, Draft],
    listed: Mapping[str, tuple[Version, ...] | None],
    report: Report,
) -> None:
    for place, other, text in _ranges(path, role, told):
        if other == role and place[-1] == other and len(roles[role]["places"]) == 1:
            report.add("release_needs_itself", place, f"a release of {role} needs {role}, and there is one")
            continue
        read = _read(place, text, report)
        versions = listed.get(other)
        if read is not None and versions is not None and not any(each in read for each in versions):
            report.add("range_without_release", place, f"no release of {other} lies in {text}")


def _ranges(path: Path, role: str, told: Draft) -> Iterator[tuple[Path, str, str]]:
    """Where each range of a release stands, the role whose releases it is about, and its text."""
    for other, text in entries(told["needs"]):
        yield (*path, "needs", other), other, text
    if told["loads_from"] is not None:
        yield (*path, "loads_from"), role, told["loads_from"]


def _read(path: Path, text: str, report: Report) -> Range | None:
    try:
        return parse_range(text)
    except ValueError as error:
        # What it says of mending is what the code's own advice says.
        report.add("bad_range", path, str(error).partition(", write it")[0])
        return None


def _check_parts(path: Path, role: str, told: Draft, parts: Mapping[str, Draft], report: Report) -> None:
    for at, number in entries(told["parts"]):
        part = parts.get(number)
        if part is not None and part["role"] not in (None, role):
            said = f"{number} is a part for {part['role']}"
            report.add("part_of_other_role", (*path, "parts", at), said)


def _check_models(path: Path, role: str, told: Draft, draft: Draft, report: Report) -> None:
    for at, name in entries(told["models"]):
        model = (draft["models"] or {}).get(name)
        if isinstance(model, dict) and role not in model["roles"]:
            said = f"{name} does not have the role {role}"
            mend = "give the model that role, or take it out of the release"
            report.add("role_not_in_model", (*path, "models", at), said, mend)


def _check_arrivals(draft: Draft, roles: Mapping[str, Draft], report: Report) -> None:
    """A new board carries a release that runs on it."""
    for place, part in entries(draft["parts"]):
        for _, told in entries(roles.get(part["role"], {"releases": []})["releases"]):
            narrowed = told["parts"] is not None and part["number"] not in told["parts"]
            if narrowed and part["release"] is not None and told["version"] == part["release"]:
                said = f"{part['number']} arrives with {part['release']}, which does not run on it"
                report.add("release_not_for_part", ("parts", place, "release"), said)
