"""What stands between a unit and a capability, in words."""

from __future__ import annotations

from service.domain.capability.comparing import Hindrance
from service.domain.terms import Overload
from service.words.capability_texts import BLOCKERS, PERHAPS
from service.words.name_texts import WHATEVER_IT_IS
from service.words.names import Names


def blocker_phrase(blocker: Hindrance, names: Names) -> str:
    """What stands between the unit and a capability, or may stand there."""
    said = _blocker(blocker, names)
    return said if blocker.certain else names.language.say(PERHAPS, blocker=said)


def _blocker(blocker: Hindrance, names: Names) -> str:
    facts = blocker.facts
    return names.language.say(
        BLOCKERS[_blocker_key(blocker)],
        a_unit=names.a_model(facts.get("unit_model", ()), many=WHATEVER_IT_IS),
        hardware=names.language.either(facts.get("hardware", ())),
        allowed=names.language.either(facts.get("allowed", ())),
        board=names.language.either(names.fact(f"{role}.release")[0] for role in facts.get("role", ())),
        an_accessory=names.language.either(
            names.language.a(names.accessory(each)) for each in facts.get("accessory", ())
        ),
        market=names.language.either(map(names.market, facts.get("market", ()))),
    )


def _blocker_key(blocker: Hindrance) -> str:
    if blocker.code != "not_allowed_for_model":
        return blocker.code
    if set(blocker.facts["hardware"]) == {"0"}:
        return "not_allowed_nor_there"
    if set(blocker.facts["allowed"]) == {"0"}:
        return blocker.code
    return "more_reports_error" if Overload.REPORTS_ERROR in blocker.facts["more"] else "more_than_allowed"
