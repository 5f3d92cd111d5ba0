"""How the shop works on a family: each step once, none missing that its boards need."""

from __future__ import annotations

from collections import defaultdict

from service.domain.terms import StepKind
from service.papers.draft import Draft, entries, models_of_parts, values
from service.papers.faults import Report
from service.papers.places import Path

WORKABLE = (
    (StepKind.REMOVE, StepKind.MOUNT),
    (StepKind.MOUNT, StepKind.LOAD),
    (StepKind.MOUNT, StepKind.ENTER_SERIAL),
    (StepKind.MOUNT, StepKind.ERASE_OWNER_DATA),
    (StepKind.MOUNT, StepKind.CALIBRATE),
    (StepKind.ENTER_SERIAL, StepKind.ASSIGN),
    (StepKind.ENTER_SERIAL, StepKind.INTRODUCE),
    (StepKind.ASSIGN, StepKind.INTRODUCE),
)
"""Which step comes before which; `domain.steps.transitions` refuses the other order."""


def check_families(draft: Draft, report: Report) -> None:
    """Check the procedures of each family, and that a covered model has roles."""
    needed = _steps_needed(draft)
    for name, family in entries(draft["families"]):
        _check_procedures(("families", name), family, report)
        _check_order(("families", name), family, report)
        if family["covered"]:
            _check_missing(name, family, needed[name], report)
    for name, model in entries(draft["models"]):
        family = (draft["families"] or {}).get(model["family"])
        if not model["roles"] and isinstance(family, dict) and family["covered"]:
            report.add("no_roles", ("models", name), f"{name} has no roles, and its family is covered")


def _check_procedures(path: Path, family: Draft, report: Report) -> None:
    seen: set[tuple[str, str]] = set()
    for at, told in entries(family["procedures"]):
        place = (*path, "procedures", at)
        step, subject = told["step"], told["subject"]
        _check_minutes(place, values(told["minutes"]), report)
        if step is None:
            continue
        if (step, subject) in seen:
            report.add("step_twice", place, f"the step {step} stands here twice")
        seen.add((step, subject))
        if (step == StepKind.ACTIVATE) != bool(subject):
            report.add("wrong_subject", place, f"the step {step} {'has' if subject else 'lacks'} a subject")
        elif subject and not told["name"]:
            report.add("missing_field", place, "a step with a subject lacks name")


def _check_order(path: Path, family: Draft, report: Report) -> None:
    """An order of work that some board could not be worked in: what is needed first comes later."""
    kinds = [told["step"] for told in values(family["procedures"])]
    for first, then in WORKABLE:
        if first in kinds and then in kinds and kinds.index(first) > kinds.index(then):
            place = (*path, "procedures", kinds.index(then))
            report.add("step_out_of_order", place, f"the step {then} stands before {first}")


def _check_minutes(place: Path, minutes: list[int], report: Report) -> None:
    if len(minutes) == 2 and minutes[0] > minutes[1]:
        told = f"{minutes[0]} to {minutes[1]} minutes is the wrong way round"
        report.add("minutes_reversed", (*place, "minutes"), told)


def _steps_needed(draft: Draft) -> defaultdict[str, dict[str, str]]:
    """For each family the steps that the boards of its models need, each with a board that needs it."""
    needed: defaultdict[str, dict[str, str]] = defaultdict(dict)
    listed = models_of_parts(draft)
    models = draft["models"] or {}
    for place, part in entries(draft["parts"]):
        families = {model["family"] for name in listed[place] if isinstance(model := models.get(name), dict)}
        for family in families:
            for step in _steps_of(part, (draft["families"] or {}).get(family)):
                needed[family].setdefault(step, part["number"])
    return needed


def _steps_of(part: Draft, family: object) -> list[str]:
    at_power_on = isinstance(family, dict) and family["blank_follower_binds"] == "at_power_on"
    steps = [StepKind.REMOVE, StepKind.MOUNT]
    match part["binding"]:
        case "names":
            steps += [StepKind.READ_OUT, StepKind.ENTER_SERIAL]
        case "follows":
            steps += [StepKind.INTRODUCE] if at_power_on else [StepKind.ASSIGN, StepKind.INTRODUCE]
    return [str(step) for step in steps]


def _check_missing(name: str, family: Draft, needed: dict[str, str], report: Report) -> None:
    stated = {told["step"] for told in values(family["procedures"])}
    for step, number in sorted(needed.items()):
        if step not in stated:
            told = f"{name} has no procedure for {step}, which {number} needs"
            report.add("no_procedure", ("families", name), told)
    for role, steps in entries(family["free_part_needs"]):
        for at, step in entries(steps):
            if step not in stated:
                path = ("families", name, "free_part_needs", role, at)
                report.add("no_procedure", path, f"{name} has no procedure for {step}, which {role} needs")
