"""Whom a summary speaks of: the machine, its boards, and who works on them."""

from __future__ import annotations

from collections.abc import Sequence

from service.domain.fit.answer import Answer
from service.domain.place import Place
from service.domain.terms import Who
from service.words import summary_texts as texts
from service.words.names import Names
from service.words.step_texts import BY_WHOM


def unit_name(answer: Answer, names: Names) -> str:
    """The unit as a customer calls it: its model where that is known."""
    models = answer.case.unit.model.values
    if models is not None and len(models) == 1:
        return names.model(next(iter(models)))
    return names.language.say(texts.YOUR_MACHINE)


def boards_name(answer: Answer, names: Names, *, inside: bool = False) -> str:
    """The proposed boards, as the start of a sentence or inside of one."""
    say = names.language.say
    places = [board.place for board in answer.case.proposed]
    if answer.case.facts.open_roles:
        return say(texts.THIS_BOARD_INSIDE if inside else texts.THIS_BOARD, board=say(texts.SOME_BOARD))
    if len(places) == 1:
        return say(texts.THIS_BOARD_INSIDE if inside else texts.THIS_BOARD, board=names.place(places[0]))
    return say(texts.THE_BOARDS_INSIDE if inside else texts.THE_BOARDS)


def other_board(answer: Answer, names: Names, place: Place) -> str:
    """What has to be in a place: a board where there is none, else another one."""
    board = names.place(place)
    if place in answer.case.empty:
        return names.language.a(board)
    return names.language.say(texts.ANOTHER, board=board)


def those_who(found: Sequence[Who], names: Names) -> str:
    """Who has to do something, as "a dealer has" or "its owner and the maker have"; nobody is a dealer."""
    named = found or (Who.DEALER,)
    who = names.language.both(names.language.say(BY_WHOM[each]) for each in named)
    return names.language.say(texts.ONE_HAS if len(named) == 1 else texts.SEVERAL_HAVE, who=who)
