"""The question asked back, in words; facts and their values as phrases."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from service.domain.fit.asking import Ask
from service.domain.fit.effort import how
from service.domain.place import Place
from service.domain.terms import MarketId, ModelId, RoleId
from service.words.amounts import day
from service.words.names import Names
from service.words.question_texts import FACTS, HOW, QUESTIONS, SPANS, VALUES

SPAN = re.compile(r"(?:from (?P<first>\S+))?(?:(?:^| )before (?P<last>\S+))?\Z")


def question_sentence(ask: Ask, names: Names) -> str:
    """The question."""
    return question_about(ask.fact, names)


def question_about(fact: str, names: Names) -> str:
    """The question for a fact."""
    if fact in QUESTIONS:
        return names.language.say(QUESTIONS[fact])
    board, attribute = names.fact(fact)
    return names.language.say(QUESTIONS[attribute], board=board)


def how_sentence(ask: Ask, proposed: Sequence[Place], names: Names) -> str:
    """How to find the answer out."""
    return names.language.say(HOW[how(ask.fact, {str(place) for place in proposed})])


def question_name(fact: str, names: Names) -> str:
    """A fact as a phrase."""
    board, attribute = names.fact(fact)
    return names.language.say(FACTS[attribute], board=board)


def value_name(value: str, names: Names) -> str:
    """One possible answer, by its name where it has one. Serials of a model are told as `ant from AA100`."""
    catalogue = names.catalogue
    model, _, _ = value.partition(" ")
    if ModelId(model) in catalogue.models:
        span = _span(value.removeprefix(model).strip(), names)
        return f"{names.model(model)} {span}".strip()
    if MarketId(value) in catalogue.markets:
        return names.market(value)
    role = catalogue.roles.get(RoleId(value))
    if role is not None:
        return role.name
    return names.language.say(VALUES[value]) if value in VALUES else _span(value, names)


def case_line(when: Mapping[str, Sequence[str]], names: Names) -> str:
    """Which case this is, as facts with their values; a fact without any has no board to be of."""
    return names.language.apart(
        names.language.labelled(
            question_name(fact, names),
            ", ".join(value_name(each, names) for each in values) or "–",  # noqa: RUF001 - a dash for nothing
        )
        for fact, values in when.items()
    )


def _span(value: str, names: Names) -> str:
    """Serials or days between two breaks, told by the domain as `from A before B`; another value stays."""
    found = SPAN.match(value)
    if not value or found is None:
        return value
    bounds = {name: day(bound, names.language) for name, bound in found.groupdict().items() if bound}
    return names.language.say(SPANS[tuple(bounds)], **bounds)
