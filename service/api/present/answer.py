"""An answer of fit, as the API shows it: the values of the domain, each with its words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import cache, lru_cache
from typing import Any, NamedTuple

import orjson

from service.api.present.wording import Wording
from service.domain.capability.comparing import Ability, Comparison
from service.domain.catalogue.compiled import REMEMBERED
from service.domain.facts.case import CASES_KEPT, BoardFacts, CaseFacts
from service.domain.facts.identity import UnitFacts
from service.domain.fit.answer import Answer, steps_told
from service.domain.fit.asking import Answers, Ask
from service.domain.fit.clearance import Clearances
from service.domain.fit.conclusion import Conclusion, GroundedReason
from service.domain.place import Place
from service.domain.steps.merging import PlannedStep
from service.domain.terms import CapabilityId


class Shared(NamedTuple):
    """What all answers with equal facts show alike. Never changed."""

    members: dict[str, Any]
    """Every member of the answer, in its order; empty where it differs from board to board."""
    reasons: Sequence[Any]
    """The reasons of the rules, one by one, for an answer that has others besides."""


def answer(of: Answer, wording: Wording, as_of: datetime | None = None) -> dict[str, Any]:
    """The answer, most telling first, as JSON values: what all answers with equal facts share is encoded
    already. What is not known is left out."""
    return _answer(of, wording, as_of, _encoded(of.conclusion, of.case.facts, wording))


def plain_answer(of: Answer, wording: Wording) -> dict[str, Any]:
    """The same in plain values throughout, for a page that shows parts of it."""
    return _answer(of, wording, None, _shared(of.conclusion, of.case.facts, wording))


def _answer(of: Answer, wording: Wording, as_of: datetime | None, shared: Shared) -> dict[str, Any]:
    case, shown = of.case, shared.members.copy()
    shown["summary"] = wording.summary(of)
    if of.notes:
        shown["reasons"] = [*shared.reasons, *[_reason(each, wording) for each in of.notes]]
    shown["unit"] = _unit(case.unit)
    shown["boards"] = [
        _board(board.facts, board.serial, recorded=board.record is not None)
        for board in (*case.proposed, *case.present.values())
    ]
    shown["clearance"] = _clearance(of.clearance)
    shown["catalogue_revision"] = of.revision
    if as_of is not None:
        shown["as_of"] = as_of.astimezone(UTC).isoformat().replace("+00:00", "Z")
    return shown


@lru_cache(maxsize=CASES_KEPT)
def _encoded(of: Conclusion, facts: CaseFacts, wording: Wording) -> Shared:
    """`_shared` with each of its values as the bytes that it will be in the answer."""
    plain = _shared(of, facts, wording)
    return Shared(
        members={name: _fragment(value) for name, value in plain.members.items()},
        reasons=[_fragment(reason) for reason in plain.reasons],
    )


def _fragment(value: Any) -> orjson.Fragment:
    # A copy, for the encoder's bytes keep all the room that it wrote in: ten times theirs, at least 4 KB.
    return orjson.Fragment(bytes(memoryview(orjson.dumps(value))))


@lru_cache(maxsize=64)
def _shared(of: Conclusion, facts: CaseFacts, wording: Wording) -> Shared:
    reasons = [_reason(each, wording) for each in of.reasons]
    members = {
        "outcome": of.decision.outcome.value,
        "summary": None,
        "fit": of.decision.fit.value,
        **({"cause": of.cause.value} if of.cause else {}),
        "programming": {
            "needed": of.decision.programming.value,
            "steps": [step(each, wording) for each in steps_told(of, facts)],
            "minutes": minutes(of.minutes) if of.minutes else None,
        },
        "reasons": reasons,
        "unit": None,
        "boards": None,
        **({"capabilities": _comparison(of.capabilities, wording)} if of.capabilities else {}),
        "clearance": None,
        "assumed": [{"fact": each.fact, "value": each.value, "why": each.why} for each in of.assumed],
        "ask": _ask(of.ask, facts.loose, wording) if of.ask else None,
        "would_fit_if": [place(each) for each in of.would_fit_if],
        "cautions": [
            {"code": each.code, "signal": each.signal.value, "text": wording.caution(each)}
            for each in of.cautions
        ],
        **({"rests_on": of.rests_on.value} if of.rests_on else {}),
        "catalogue_revision": None,
    }
    return Shared(members, reasons)


@cache
def _clearance(of: Clearances) -> Mapping[str, str]:
    """Each of its few kinds once. Never changed."""
    return {"board": of.board.value, "unit": of.unit.value, "donor": of.donor.value}


def place(of: Place) -> dict[str, Any]:
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
    if done.place is not None and done.release is not None:
        shown["release"] = wording.names.catalogue.roles[done.place.role].releases[done.release]
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


def _unit(unit: UnitFacts) -> dict[str, Any]:
    shown: dict[str, Any] = {"recorded": unit.record is not None, "models": sorted(unit.model.values or ())}
    return {"serial": unit.serial, **shown} if unit.serial else shown


@lru_cache(maxsize=REMEMBERED)
def _board(facts: BoardFacts, serial: str | None, *, recorded: bool) -> Mapping[str, Any]:
    """The same board is shown in many answers. Never changed."""
    shown = {**place(facts.place), "proposed": facts.proposed, "recorded": recorded}
    if serial:
        shown["serial"] = serial
    if facts.part.certain and facts.part.values:
        shown["part"] = next(iter(facts.part.values))
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
