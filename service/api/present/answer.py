"""An answer of fit, as the API shows it: the values of the domain, each with its words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

import orjson

from service.api.present.wording import Wording
from service.domain.capability.comparing import Ability, Comparison
from service.domain.facts.case import BoardCase, Case
from service.domain.fit.answer import Answer
from service.domain.fit.asking import Answers, Ask
from service.domain.fit.conclusion import Conclusion, GroundedReason
from service.domain.place import Place
from service.domain.steps.merging import PlannedStep
from service.domain.terms import CapabilityId


def answer(of: Answer, wording: Wording, as_of: datetime | None = None) -> dict[str, Any]:
    """The answer, most telling first, as JSON values: what all answers with equal facts share is encoded
    already. What is not known is left out."""
    return _answer(of, wording, as_of, _encoded(of.conclusion, wording, _proposed(of)))


def plain_answer(of: Answer, wording: Wording) -> dict[str, Any]:
    """The same in plain values throughout, for a page that shows parts of it."""
    return _answer(of, wording, None, _conclusion(of.conclusion, wording, _proposed(of)))


def _answer(
    of: Answer, wording: Wording, as_of: datetime | None, shared: Mapping[str, Any]
) -> dict[str, Any]:
    shown: dict[str, Any] = {
        "outcome": of.outcome.value,
        "summary": wording.summary(of),
        "fit": of.fit.value,
        **({"cause": of.cause.value} if of.cause else {}),
        "programming": {
            "needed": of.programming.value,
            "steps": shared["steps"] if of.steps else [],
            "minutes": minutes(of.minutes) if of.minutes else None,
        },
        "reasons": [*shared["reasons"], *(_reason(each, wording) for each in of.notes)],
        "unit": _unit(of.case),
        "boards": [_board(each) for each in (*of.case.proposed, *of.case.present.values())],
        **shared["before"],
        "clearance": {
            "board": of.clearance.board.value,
            "unit": of.clearance.unit.value,
            "donor": of.clearance.donor.value,
        },
        **shared["after"],
        "catalogue_revision": of.revision,
    }
    if as_of is not None:
        shown["as_of"] = as_of.astimezone(UTC).isoformat().replace("+00:00", "Z")
    return shown


def _proposed(of: Answer) -> tuple[Place, ...]:
    return tuple(board.place for board in of.case.proposed)


@lru_cache(maxsize=4_096)
def _encoded(of: Conclusion, wording: Wording, proposed: tuple[Place, ...]) -> dict[str, Any]:
    """`_conclusion` with each of its values as the bytes that it will be in the answer."""
    shared = _conclusion(of, wording, proposed)
    return {
        "steps": _fragment(shared["steps"]),
        "reasons": [_fragment(reason) for reason in shared["reasons"]],
        "before": {name: _fragment(value) for name, value in shared["before"].items()},
        "after": {name: _fragment(value) for name, value in shared["after"].items()},
    }


def _fragment(value: Any) -> orjson.Fragment:
    return orjson.Fragment(orjson.dumps(value))


@lru_cache(maxsize=256)
def _conclusion(of: Conclusion, wording: Wording, proposed: tuple[Place, ...]) -> dict[str, Any]:
    """What all answers with equal facts show alike; `before` and `after` the clearance. Never changed."""
    compared = of.capabilities
    after = {
        "assumed": [{"fact": each.fact, "value": each.value, "why": each.why} for each in of.assumed],
        "ask": _ask(of.ask, proposed, wording) if of.ask else None,
        "would_fit_if": [place(each) for each in of.would_fit_if],
        "cautions": [
            {"code": each.code, "signal": each.signal.value, "text": wording.caution(each)}
            for each in of.cautions
        ],
        **({"rests_on": of.rests_on.value} if of.rests_on else {}),
    }
    return {
        "steps": [step(each, wording) for each in of.steps],
        "reasons": [_reason(each, wording) for each in of.reasons],
        "before": {"capabilities": _comparison(compared, wording)} if compared else {},
        "after": after,
    }


def place(of: Place) -> dict[str, str]:
    """A role, and its place where it has several."""
    return {"role": of.role, "place": of.name} if of.name else {"role": of.role}


def minutes(span: tuple[int, int]) -> dict[str, int]:
    """Bench minutes, least and most."""
    return {"least": span[0], "most": span[1]}


def step(of: PlannedStep, wording: Wording) -> dict[str, Any]:
    """One step of a plan."""
    done = of.step
    shown: dict[str, Any] = {"step": done.kind.value, **(place(done.place) if done.place else {})}
    shown |= {
        "old_board": done.old,
        "who": done.procedure.who.value,
        "tool": done.procedure.tool,
        "minutes": minutes(done.procedure.minutes),
        "undoable": done.undoable,
        "text": wording.step(of),
    }
    if done.procedure.subject:
        shown["subject"] = done.procedure.subject
    if of.condition:
        shown["when"] = {"fact": of.condition[0], "values": list(of.condition[1])}
    return shown


def _reason(of: GroundedReason, wording: Wording) -> dict[str, Any]:
    reason = of.reason
    shown: dict[str, Any] = {"code": reason.code, "deciding": reason.deciding, "certain": reason.certain}
    if reason.place.role:
        shown |= place(reason.place)
    shown["facts"] = {name: list(values) for name, values in reason.facts.items()}
    if of.basis:
        shown["basis"] = of.basis.value
    return {**shown, "text": wording.reason(of)}


def _unit(case: Case) -> dict[str, Any]:
    unit = case.unit
    shown: dict[str, Any] = {"recorded": unit.record is not None, "models": sorted(unit.model.values or ())}
    return {"serial": unit.serial, **shown} if unit.serial else shown


def _board(of: BoardCase) -> dict[str, Any]:
    shown: dict[str, Any] = {**place(of.place), "proposed": of.proposed, "recorded": of.record is not None}
    if of.serial:
        shown["serial"] = of.serial
    if of.part.certain and of.part.values:
        shown["part"] = next(iter(of.part.values))
    return shown


def _comparison(of: Comparison, wording: Wording) -> dict[str, Any]:
    return {
        "before": abilities(of.before, wording),
        "after": abilities(of.after, wording),
        "gained": list(of.gained()),
        "may_gain": list(of.may_gain()),
        "lost": [{"capability": capability, "certain": sure} for capability, sure in of.lost()],
    }


def abilities(of: Any, wording: Wording) -> dict[str, Any]:
    """Capabilities by id."""
    return {capability: _ability(capability, each, wording) for capability, each in of.items()}


def _ability(capability: CapabilityId, of: Ability, wording: Wording) -> dict[str, Any]:
    amount = {"least": of.least, "most": of.most} if of.is_count else {"available": of.value}
    return {
        "name": wording.names.capability(capability),
        **amount,
        "reports_error": of.reports_error,
        "blockers": [
            {
                "code": blocker.code,
                "certain": blocker.certain,
                "facts": {name: list(values) for name, values in blocker.facts.items()},
                "text": wording.blocker(blocker),
            }
            for blocker in sorted(of.blockers, key=lambda each: (not each.certain, each.code))
        ],
    }


def _ask(ask: Ask, proposed: Sequence[Place], wording: Wording) -> dict[str, Any]:
    return {
        "fact": ask.fact,
        "question": wording.question(ask),
        "how": wording.how(ask, proposed),
        "answers": [_ask_answer(each, proposed, wording) for each in ask.answers],
    }


def _ask_answer(each: Answers, proposed: Sequence[Place], wording: Wording) -> dict[str, Any]:
    shown: dict[str, Any] = {"values": list(each.values), "outcome": each.outcome.value}
    return {**shown, "then": _ask(each.then, proposed, wording)} if each.then else shown
