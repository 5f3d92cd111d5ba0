"""What a model requires can be had: for each required role and feature there is a part, in every market."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from service.papers.draft import Draft, entries, is_covered, models_of_parts, values
from service.papers.faults import Report
from service.papers.meaning.replacements import edges
from service.papers.places import Path


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
    markets = frozenset(draft["markets"] or ())
    for name, model in entries(draft["models"]):
        for role, use in entries(model["roles"]) if is_covered(draft, model) else ():
            path, parts = ("models", name, "roles", role), fitting[name, role]
            if use["required"]:
                wanted = _within(model, _within(use, markets))
                _check_part(
                    path,
                    parts,
                    wanted - {market for part in parts for market in _within(part, markets)},
                    report,
                )
            if parts:
                _check_features(path, use, parts, report)


def _check_part(path: Path, parts: list[Draft], lacking: frozenset[str], report: Report) -> None:
    if not parts or lacking:
        where = f" in {', '.join(sorted(lacking))}" if parts else ""
        report.add("no_part", path, f"{path[1]} requires {path[3]}, and no part can be had for it{where}")


def _check_features(path: Path, use: Draft, parts: list[Draft], report: Report) -> None:
    for at, feature in entries(use["features"]):
        if not any(feature in part["features"] for part in parts):
            told = f"{path[1]} requires {feature} of its {path[3]}, and no part for it has that"
            report.add("no_part_with_feature", (*path, "features", at), told)


def _within(told: Draft, markets: frozenset[str]) -> frozenset[str]:
    """The markets to which something narrows these; all of them if it does not."""
    return markets if told["markets"] is None else markets & frozenset(values(told["markets"]))
