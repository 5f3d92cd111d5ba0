"""Roles, models and parts go together: each role is used, each part has its place, each place its part."""

from __future__ import annotations

from collections import defaultdict

from service.papers.draft import Draft, direct_rows, entries, is_covered, models_of_parts, values
from service.papers.faults import Report
from service.papers.meaning.replacements import circles


def check_roles(draft: Draft, report: Report) -> None:
    """Check roles by themselves, and that parts are listed where their role is."""
    _check_unused(draft, report)
    _check_connections(draft, report)
    _check_listed(draft, report)
    _check_bindings(draft, report)


def _check_unused(draft: Draft, report: Report) -> None:
    used = {role for model in values(draft["models"]) for role in model["roles"]}
    for role, _ in entries(draft["roles"]):
        if role not in used:
            report.add("role_unused", ("roles", role), f"no model has the role {role}")


def _check_connections(draft: Draft, report: Report) -> None:
    through = {
        role: [told["connection"]["through"]]
        for role, told in entries(draft["roles"])
        if told["connection"] and told["connection"]["through"]
    }
    for circle in circles(through):
        names = " → ".join([*circle[:8], circle[0]])
        path = ("roles", circle[0], "connection")
        report.add("connection_circle", path, f"these are connected through each other: {names}")
    for name, model in entries(draft["models"]):
        for role in model["roles"]:
            on_the_way = through.get(role, [role])[0]
            if on_the_way not in model["roles"] and on_the_way in (draft["roles"] or {}):
                told = f"{role} is connected through {on_the_way}, which the model does not have"
                report.add("connection_missing", ("models", name, "roles", role), told)


def _check_listed(draft: Draft, report: Report) -> None:
    models = draft["models"] or {}
    for place, part in entries(draft["parts"]):
        if not values(part["fits"]) and not values(part["replaces"]):
            report.add(
                "part_unlisted", ("parts", place), "the part is listed for no model, and replaces none"
            )
    for place, part, row_place, row in direct_rows(draft):
        for at, name in entries(row["models"]):
            model = models.get(name)
            if not isinstance(model, dict) or not is_covered(draft, model):
                continue
            if part["role"] is not None and part["role"] not in model["roles"]:
                told = f"{part['number']} is a part for {part['role']}, a role that {name} does not have"
                report.add("role_not_in_model", ("parts", place, "fits", row_place, "models", at), told)


def _check_bindings(draft: Draft, report: Report) -> None:
    """At most one role of a model names, and a board can only follow where one names."""
    listed = models_of_parts(draft)
    by_model: defaultdict[tuple[str, str], dict[str, str]] = defaultdict(dict)
    for place, part in entries(draft["parts"]):
        for model in listed[place]:
            if part["role"] is not None:
                by_model[model, part["binding"]].setdefault(part["role"], part["number"])
    for name, _ in entries(draft["models"]):
        naming = by_model.get((name, "names"), {})
        if len(naming) > 1:
            told = ", ".join(f"{role} ({number})" for role, number in sorted(naming.items()))
            report.add("two_naming_roles", ("models", name), f"boards of several roles name it: {told}")
        if not naming:
            for role, number in by_model.get((name, "follows"), {}).items():
                told = f"{number} ({role}) follows, and no part listed for this model names it"
                report.add("nothing_to_follow", ("models", name), told)
