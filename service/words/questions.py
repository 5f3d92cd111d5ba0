"""The question asked back, in words, and what its answers may be."""

from __future__ import annotations

from collections.abc import Sequence

from service.domain.fit.asking import Ask
from service.domain.fit.effort import how
from service.domain.place import Place
from service.domain.terms import MarketId, ModelId, RoleId
from service.words.names import Names
from service.words.question_texts import HOW, QUESTIONS, VALUES


def question_sentence(ask: Ask, names: Names) -> str:
    """The question."""
    if ask.fact in QUESTIONS:
        return names.language.say(QUESTIONS[ask.fact])
    board, attribute = names.fact(ask.fact)
    return names.language.say(QUESTIONS[attribute], board=board)


def how_sentence(ask: Ask, proposed: Sequence[Place], names: Names) -> str:
    """How to find the answer out."""
    return names.language.say(HOW[how(ask.fact, {str(place) for place in proposed})])


def value_name(value: str, names: Names) -> str:
    """One possible answer, by its name where it has one. Serials of a model are told as `ant from AA100`."""
    catalogue = names.catalogue
    first, space, rest = value.partition(" ")
    if ModelId(first) in catalogue.models:
        return f"{names.model(first)}{space}{rest}"
    if MarketId(value) in catalogue.markets:
        return names.market(value)
    role = catalogue.roles.get(RoleId(value))
    if role is not None:
        return role.name
    return names.language.say(VALUES[value]) if value in VALUES else value
