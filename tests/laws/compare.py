"""The service's answers beside those of the oracles, in one form."""

from __future__ import annotations

import json
from typing import Any

from tests.laws.cases import Question
from tests.laws.engine import ask_engine
from tests.oracles.answers import answer
from tests.oracles.questions import Asked
from tests.oracles.world import AXES, Verdict

VIEW = {
    ("yes", "none"): "fits",
    ("yes", "needed"): "fits_with_programming",
    ("yes", "unknown"): "fits_with_programming",
}
VIEW_OF_FIT = {"no": "does_not_fit", "unknown": "cannot_tell"}


def asked_of_engine(asked: Asked) -> dict[str, Any]:
    return ask_engine(asked.catalogue, asked.question, asked.records)


def view(fit: str, programming: str) -> str:
    """The outcome as a view of the two axes."""
    return VIEW_OF_FIT.get(fit) or VIEW[fit, programming]


def of_verdict(verdict: Verdict) -> dict[str, Any]:
    """What the service has to say where the only world has this verdict."""
    fit, programming = ("unknown", "unknown") if verdict.rule == 2 else AXES[verdict.outcome]
    return {
        "fit": fit,
        "programming": programming,
        "outcome": view(fit, programming),
        "cause": "out_of_scope" if verdict.rule == 2 else None,
        "deciding": sorted(map(list, verdict.deciding)),
    }


def of_engine(found: dict[str, Any]) -> dict[str, Any]:
    """The same form, from the service's answer; a rule that fails twice at a place counts once.

    Of a fit the service tells the needs that decide about programming; the oracles give no place for those.
    """
    rules = {(rule, place) for rule, place, _ in found["deciding"]} if found["fit"] != "yes" else set()
    return {
        **{key: found[key] for key in ("fit", "programming", "outcome", "cause")},
        "deciding": sorted(map(list, rules)),
    }


def of_question(question: Question) -> dict[str, Any]:
    """What the service has to say of a question with something open, its reasons aside."""
    found = answer(question.table)
    return {
        "fit": found.fit,
        "programming": found.programming,
        "outcome": view(found.fit, found.programming),
        "cause": found.cause,
    }


def shown(asked: Asked) -> str:
    """A question and its records, to be read in a failing test."""
    return json.dumps({"question": asked.question, "records": asked.records}, sort_keys=True)
