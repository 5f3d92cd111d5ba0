"""An answer in the short words of the case files: for each name what the answer says under it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from service.domain.capability.comparing import Ability, Comparison
from service.domain.fit.answer import Answer
from service.domain.fit.conclusion import GroundedReason
from service.domain.steps.merging import PlannedStep
from service.words.fit_text import fit_text
from service.words.names import Names
from service.words.summary import summary


def reason(grounded: GroundedReason) -> str:
    """A reason as `bound_to_other_model main`; of the unit itself the code alone."""
    return f"{grounded.reason.code} {grounded.reason.place}".strip()


def step(found: Answer, planned: PlannedStep) -> str:
    """A step as `enter_serial main`, `remove old main`, `activate access_code`, `load panel 1.4.0`."""
    done, release = planned.step, ""
    if done.place is not None and done.release is not None:
        release = found.case.unit.hubs[0].compiled.catalogue.roles[done.place.role].releases[done.release]
    words = [str(done.kind), "old" if done.old else "", str(done.place or ""), done.procedure.subject]
    return " ".join(word for word in [*words, release] if word)


def condition(planned: PlannedStep) -> str:
    fact, values = planned.condition or ("", ())
    return f" if {fact}={'|'.join(values)}" if fact else ""


def amount(ability: Ability) -> str | int:
    """A switch as yes, no or unknown, a count as 2 or `1..2`."""
    if not ability.is_count:
        return ability.value
    return ability.least if ability.least == ability.most else f"{ability.least}..{ability.most}"


NOT_FOUND_OUT = "not to be found out"


def answers(found: Answer) -> dict[str, str]:
    if found.ask is None:
        return {}
    told = [(each.values or (NOT_FOUND_OUT,), each.outcome) for each in found.ask.answers]
    return {value: str(outcome) for values, outcome in told for value in values}


def compared(found: Answer) -> Comparison:
    assert found.capabilities is not None, "nothing is said of capabilities"
    return found.capabilities


def amounts(abilities: Mapping[Any, Ability]) -> dict[str, str | int]:
    return {str(name): amount(ability) for name, ability in abilities.items()}


def blockers(found: Answer) -> dict[str, list[str]]:
    """What stands between the unit as it will be and each capability, by name."""
    return {
        str(name): sorted(f"{'' if each.certain else 'perhaps '}{each.code}" for each in ability.blockers)
        for name, ability in compared(found).after.items()
    }


def losses(found: Answer, *, sure: bool) -> list[str]:
    return [str(name) for name, certain in compared(found).lost() if certain is sure]


EXACT: Mapping[str, Callable[[Answer], Any]] = {
    "outcome": lambda a: str(a.outcome),
    "fit": lambda a: str(a.fit),
    "programming": lambda a: str(a.programming),
    "cause": lambda a: a.cause and str(a.cause),
    "deciding": lambda a: [reason(each) for each in a.reasons if each.reason.deciding],
    "ask": lambda a: a.ask and a.ask.fact,
    "would_fit_if": lambda a: [str(place) for place in a.would_fit_if],
    "steps": lambda a: [step(a, each) + condition(each) for each in a.steps],
    "permanent": lambda a: [step(a, each) for each in a.steps if not each.step.undoable],
    "minutes": lambda a: a.minutes and list(a.minutes),
    "gained": lambda a: list(map(str, compared(a).gained())),
    "may_gain": lambda a: list(map(str, compared(a).may_gain())),
    "lost": lambda a: losses(a, sure=True),
    "may_lose": lambda a: losses(a, sure=False),
    "reports_error": lambda a: [str(name) for name, each in compared(a).after.items() if each.reports_error],
    "rests_on": lambda a: a.rests_on and str(a.rests_on),
}
"""What has to be equal, the order of a list too."""

SUBSET: Mapping[str, Callable[[Answer], Mapping[str, Any]]] = {
    "answers": answers,
    "before": lambda a: amounts(compared(a).before),
    "after": lambda a: amounts(compared(a).after),
    "blockers": blockers,
    "by": lambda a: {step(a, each): str(each.step.procedure.who) for each in a.steps},
    "clearance": lambda a: {name: str(getattr(a.clearance, name)) for name in ("board", "unit", "donor")},
}
"""What has to be equal for each name that the case gives."""

AMONG: Mapping[str, Callable[[Answer], Iterable[str]]] = {
    "reasons": lambda a: [reason(each) for each in a.reasons],
    "certain": lambda a: [reason(each) for each in a.reasons if each.reason.certain],
    "assumed": lambda a: [" ".join(each) for each in a.assumed],
    "cautions": lambda a: [each.code for each in a.cautions],
}
"""What has to be there among others; with `no_` before the name, what must not be there."""

SAID: Mapping[str, Callable[[Answer, Names], str]] = {"summary": summary, "text": fit_text}
"""Phrases that have to be in a text; with `no_` before the name, that must not be."""


def disagreements(expect: Mapping[str, Any], found: Answer, names: Names) -> dict[str, tuple[Any, Any]]:
    """What the case expects and the answer says, wherever the two differ."""
    differing = {}
    for name, wanted in expect.items():
        said = says(name, wanted, found, names)
        if said != wanted:
            differing[name] = (wanted, said)
    return differing


def says(name: str, wanted: Any, found: Answer, names: Names) -> Any:
    """What the answer says under a name, as far as the case speaks of it."""
    if name in EXACT:
        return EXACT[name](found)
    if name in SUBSET:
        there = SUBSET[name](found)
        return {key: there.get(key) for key in wanted}
    assert isinstance(wanted, list), f"{name} is a list"
    assert wanted, f"{name} is not empty"
    plain = name.removeprefix("no_")
    there_in = SAID[plain](found, names) if plain in SAID else list(AMONG[plain](found))
    kept = [each for each in wanted if (each in there_in) is not name.startswith("no_")]
    return kept if kept == wanted else there_in
