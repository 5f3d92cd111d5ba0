"""One reason in words."""

from __future__ import annotations

from service.domain.fit.decision import Reason
from service.words.names import Names
from service.words.reason_texts import REASONS


def reason_sentence(reason: Reason, names: Names) -> str:
    """The sentence of a reason, fit to be read to a customer."""
    facts = reason.facts
    board, _ = names.fact(facts["fact"][0]) if "fact" in facts else (names.place(reason.place), "")
    return names.language.say(
        REASONS[reason.code],
        board=board,
        unit=names.models(facts.get("unit_model", ())),
        bound=names.models(facts.get("bound_model", ())),
        part=names.language.either(map(names.part, facts.get("part", ()))),
        market=names.language.either(map(names.market, facts.get("market", ()))),
        feature=names.language.either(map(names.feature, facts.get("feature", ()))),
        values=", ".join(facts.get("values", ())),
        said="; ".join(f"{who}: {names.models(facts[who])}" for who in _WITNESSES if who in facts),
    )


_WITNESSES = ("plate", "recorded", "papers", "declared", "reported")
