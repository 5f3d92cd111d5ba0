"""What to think of, and what to do, when a unit refuses to run."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from service.api.present.answer import minutes, place
from service.api.present.wording import Wording
from service.domain.catalogue.model import Catalogue
from service.domain.fit.mending import ASK_FIRST, Advice, Mend
from service.domain.fit.refusing import Look
from service.domain.place import Place
from service.domain.terms import Means

CABLE = "cable"
NEEDS_INTRODUCING = "must_be_introduced"

Link = Callable[[Place], str]
"""Where the boards in stock for a place are found."""


def if_it_refuses(
    catalogue: Catalogue, of: Advice, wording: Wording, candidates: Link | None
) -> dict[str, Any]:
    """The advice. `candidates` is None for a caller that may not read the stock."""
    closed = of.answer.case.facts.means is Means.CUSTOMER or of.mend.code == ASK_FIRST
    looks = () if closed else of.refusal.looks
    return {
        "cause": of.refusal.cause.value,
        "causes": [cause.value for cause in of.refusal.causes],
        "text": wording.cause(of),
        "look_at": [_look(catalogue, look, wording) for look in looks],
        "mend": {
            "code": of.mend.code,
            "text": wording.mend(of),
            **_work(of.mend, None if closed else candidates),
        },
        "cautions": [
            {"code": each.code, "signal": each.signal.value, "text": wording.caution(each)}
            for each in of.cautions
        ],
    }


def _work(of: Mend, candidates: Link | None) -> dict[str, Any]:
    shown: dict[str, Any] = {
        "boards": [
            {**place(each), **({"candidates": candidates(each)} if candidates else {})} for each in of.places
        ],
        "who": [who.value for who in of.who],
    }
    return shown if of.minutes is None else {**shown, "minutes": minutes(of.minutes)}


def _look(catalogue: Catalogue, of: Look, wording: Wording) -> dict[str, Any]:
    role = catalogue.roles[of.place.role]
    shown: dict[str, Any] = {**place(of.place), "name": role.name, "where": role.where}
    if of.found is not None:
        shown["code"] = of.found.reason.code
    elif of.cable is None:
        shown["code"] = NEEDS_INTRODUCING
    else:
        shown |= {"code": CABLE, "cable": wording.names.own(of.cable), "through": of.through}
    return {**shown, "text": wording.look(of)}
