"""One reason in words."""

from __future__ import annotations

from service.domain.fit.decision import Reason
from service.domain.place import Place
from service.domain.terms import RoleId
from service.words.name_texts import ANOTHER_MODEL, ONE_OF_SEVERAL
from service.words.names import Names
from service.words.questions import value_name
from service.words.reason_texts import POSSIBLY, REASONS, SERIALS_DIFFER, WITNESSES


def reason_sentence(reason: Reason, names: Names) -> str:
    """The sentence of a reason, fit to be read to a customer."""
    facts, language = reason.facts, names.language
    board, _ = names.fact(facts["fact"][0]) if "fact" in facts else (names.place(reason.place), "")
    return language.say(
        SERIALS_DIFFER if _only_serials_differ(reason) else REASONS[reason.code],
        board=board,
        a_board=language.a(board),
        unit=names.models(facts.get("unit_model", ())),
        a_unit=names.a_model(facts.get("unit_model", ()), many=ONE_OF_SEVERAL),
        bound=names.a_model(facts.get("bound_model", ()), many=ANOTHER_MODEL),
        part=language.either(map(names.part, facts.get("part", ()))),
        market=language.either(map(names.market, facts.get("market", ()))),
        boards=language.both(names.place(Place(RoleId(role))) for role in facts.get("role", ())),
        a_feature=language.either(language.a(names.feature(each)) for each in facts.get("feature", ())),
        values=", ".join(value_name(value, names) for value in facts.get("values", ())),
        said=language.apart(
            language.labelled(language.say(name), names.models(facts[who]))
            for who, name in WITNESSES.items()
            if who in facts
        ),
    )


def weighed_sentence(reason: Reason, names: Names) -> str:
    """The sentence of a reason, with a word before it where it does not hold in every world."""
    said = reason_sentence(reason, names)
    return said if reason.certain else names.language.say(POSSIBLY, reason=said)


def _only_serials_differ(reason: Reason) -> bool:
    """Whether the witnesses of an identity conflict have a model in common."""
    heard = [set(models) for who, models in reason.facts.items() if who in WITNESSES]
    return reason.code == "identity_conflict" and bool(heard) and bool(set.intersection(*heard))
