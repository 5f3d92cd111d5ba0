"""What is said when a machine refuses to run."""

from __future__ import annotations

from collections.abc import Sequence

from service.domain.fit import mending
from service.domain.fit.mending import Advice
from service.domain.fit.refusing import Look
from service.domain.place import Place
from service.domain.terms import BindingPolicy, Cause, Means, Who
from service.words import refusal_texts as texts
from service.words.name_texts import ANOTHER_MODEL
from service.words.names import Names
from service.words.questions import how_sentence, question_sentence
from service.words.reason_texts import REASONS
from service.words.reasons import weighed_sentence
from service.words.subjects import other_board, those_who

NEEDS_INTRODUCING = "must_be_introduced"


def cause_sentence(advice: Advice, names: Names) -> str:
    """What it probably is."""
    return names.language.say(texts.CAUSES[advice.refusal.cause])


def look_sentence(look: Look, names: Names) -> str:
    """Why to look at a board, or at the cable that it hangs on."""
    if look.found is not None:
        return weighed_sentence(look.found.reason, names)
    board = names.place(look.place)
    if look.cable is None or look.through is None:
        return names.language.say(REASONS[NEEDS_INTRODUCING], board=board)
    return names.language.say(
        texts.CABLE, cable=names.own(look.cable), board=board, through=names.place(Place(look.through))
    )


def mend_sentence(advice: Advice, names: Names) -> str:
    """What puts it right. A customer is told who does it, and no work inside the machine."""
    customer = advice.answer.case.facts.means is Means.CUSTOMER
    match advice.mend.code:
        case mending.CHANGE_BOARDS:
            return _change(advice, names, customer=customer)
        case mending.TEST_BOARDS:
            boards = names.language.both(map(names.place, advice.mend.places))
            text = texts.TEST_BOARDS_FOR_CUSTOMER if customer else texts.TEST_BOARDS
            return _said(text, advice.mend.who, names, boards=boards)
        case mending.PROGRAM:
            return _said(texts.PROGRAM_FOR_CUSTOMER if customer else texts.PROGRAM, advice.mend.who, names)
        case mending.CHECK_CONNECTIONS:
            text = texts.CHECK_CONNECTIONS_FOR_CUSTOMER if customer else texts.CHECK_CONNECTIONS
            return _said(text, advice.mend.who, names)
        case mending.ASK_FIRST:
            return names.language.say(texts.ASK_FIRST_FOR_CUSTOMER if customer else texts.ASK_FIRST)
        case _:
            return _find_out(advice, names, customer=customer)


def _change(advice: Advice, names: Names, *, customer: bool) -> str:
    places = advice.mend.places
    boards = names.language.both(other_board(advice.answer, names, place) for place in places)
    if customer:
        return _said(texts.CHANGE_FOR_CUSTOMER, advice.mend.who, names, boards=boards)
    models = sorted(advice.answer.case.unit.model.values or ())
    a_unit = names.a_model(models, many=ANOTHER_MODEL)
    text = texts.CHANGE_BINDING if models and _binds(names, places) else texts.CHANGE
    return names.language.say(text, boards=boards, a_unit=a_unit)


def _binds(names: Names, places: Sequence[Place]) -> bool:
    """Whether a board of one of these places takes on the identity of a machine."""
    roles = {place.role for place in places}
    parts = names.catalogue.parts.values()
    return any(part.role in roles and part.binding is not BindingPolicy.FREE for part in parts)


def _find_out(advice: Advice, names: Names, *, customer: bool) -> str:
    ask = advice.answer.ask
    if ask is not None:
        return f"{question_sentence(ask, names)} {how_sentence(ask, (), names)}"
    if advice.answer.cause is Cause.OUT_OF_SCOPE:
        return names.language.say(texts.NOT_COVERED)
    return names.language.say(texts.READ_OUT_FOR_CUSTOMER if customer else texts.READ_OUT)


def _said(text: str, who: Sequence[Who], names: Names, **facts: str) -> str:
    """A text about work, with who does it as the start of the sentence."""
    said = names.language.say(text, who_has=those_who(who, names), **facts)
    return said[:1].upper() + said[1:]
