"""Capabilities can come true: some hardware gives them, and their releases and amounts are real ones."""

from __future__ import annotations

from collections import defaultdict

from service.papers.draft import Draft, entries, release_names
from service.papers.faults import Report
from service.papers.places import Path


def check_capabilities(draft: Draft, report: Report) -> None:
    """Check what capabilities need, and what models are allowed of them."""
    carried: defaultdict[str, set[str]] = defaultdict(set)
    for _, part in entries(draft["parts"]):
        for feature in part["features"]:
            carried[feature].add(part["role"])
    for name, capability in entries(draft["capabilities"]):
        for at, need in entries(capability["hardware"]):
            _check_need(("capabilities", name, "hardware", at), need, carried, report)
        for role, release in entries(capability["releases"]):
            _check_release(draft, ("capabilities", name, "releases", role), role, release, report)
    for place, part in entries(draft["parts"]):
        if part["release"] is not None:
            _check_release(draft, ("parts", place, "release"), part["role"], part["release"], report)
    _check_amounts(draft, report)


def _check_need(path: Path, need: Draft, carried: dict[str, set[str]], report: Report) -> None:
    role, feature = need["role"], need["feature"]
    if role is None or feature is None or role in carried[feature]:
        return
    others = sorted(filter(None, carried[feature]))
    told = f"no part for {role} has {feature}" + (f"; parts for {', '.join(others)} have" if others else "")
    report.add("no_hardware", path, told)


def _check_release(draft: Draft, path: Path, role: str | None, release: str, report: Report) -> None:
    told = (draft["roles"] or {}).get(role)
    if isinstance(told, dict) and release not in release_names(told):
        known = frozenset(release_names(told))
        mend = report.suggest(release, known) if known else ""
        report.add("unknown_release", path, f"{role} has no release {release}", mend)


def _check_amounts(draft: Draft, report: Report) -> None:
    capabilities = draft["capabilities"] or {}
    for name, model in entries(draft["models"]):
        for of, allowance in entries(model["allows"]):
            capability, amount = capabilities.get(of), allowance["amount"] or 0
            if not isinstance(capability, dict) or capability["kind"] != "switch":
                continue
            path = ("models", name, "allows", of, "amount")
            if amount > 1:
                report.add("switch_with_amount", path, f"{of} is a switch, and {amount} of it are allowed")
            elif amount and allowance["planned"]:
                report.add("planned_and_allowed", path, f"{of} is allowed and planned at once")
