"""What a model requires can be had: for each required role and feature there is a part, in every market."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from service.papers.draft import Draft, entries, is_covered, models_of_parts, values
from service.papers.faults import Report
from service.papers.meaning.replacements import edges


def reached_models(draft: Draft) -> Mapping[str, frozenset[str]]:
    """For each part the models it may go into, itself or in the place of others; breaks ignored."""
    direct = models_of_parts(draft)
    reached = {part["number"]: direct[place] for place, part in entries(draft["parts"])}
    onward: defaultdict[str, list[tuple[str, frozenset[str] | None]]] = defaultdict(list)
    for path, part, older, both in edges(draft):
        limit = draft["parts"][path[1]]["replaces"][path[3]]["models"]
        models = None if limit is None else frozenset(values(limit))
        onward[older["number"]].append((part["number"], models))
        if both:
            onward[part["number"]].append((older["number"], models))
    todo = list(onward)
    while todo:
        number = todo.pop()
        for newer, models in onward.get(number, ()):
            more = reached[number] if models is None else reached[number] & models
            if not more <= reached[newer]:
                reached[newer] |= more
                todo.append(newer)
    return reached


def check_filling(draft: Draft, report: Report) -> None:
    """Refuse a required role, or a feature required of it, for which no part can be had."""
    reached = reached_models(draft)
    fitting: defaultdict[tuple[str, str], list[Draft]] = defaultdict(list)
    for _, part in entries(draft["parts"]):
        for model in reached[part["number"]]:
            fitting[model, part["role"]].append(part)
    for name, model in entries(draft["models"]):
        if is_covered(draft, model):
            for role, use in entries(model["roles"]):
                _check_role(draft, name, role, use, fitting[name, role], report)


def _check_role(draft: Draft, name: str, role: str, use: Draft, parts: list[Draft], report: Report) -> None:
    path = ("models", name, "roles", role)
    if use["required"]:
        lacking = sorted(_markets(draft, name, use) - {market for part in parts for market in _sold(draft, part)})
        if not parts or lacking:
            where = f" in {', '.join(lacking)}" if parts else ""
            mend = "list a part of that role for the model, or write required: false"
            report.add("no_part", path, f"{name} requires {role}, and no part can be had for it{where}", mend)
    for at, feature in entries(use["features"]):
        if parts and not any(feature in part["features"] for part in parts):
            told = f"{name} requires {feature} of its {role}, and no part for it has that"
            mend = "state the feature with a part, or do not require it"
            report.add("no_part_with_feature", (*path, "features", at), told, mend)


def _markets(draft: Draft, name: str, use: Draft) -> frozenset[str]:
    """Where the model has the role."""
    own = frozenset(values(draft["models"][name]["markets"]) or draft["markets"] or ())
    return own & frozenset(values(use["markets"]) or own)


def _sold(draft: Draft, part: Draft) -> frozenset[str]:
    return frozenset(values(part["markets"]) or draft["markets"] or ())
