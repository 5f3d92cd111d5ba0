"""Where a board can go, and what stands in the way, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.domain.facts.records import BoardRecord
from service.domain.fit.answer import Answer
from service.domain.terms import Condition, ModelId, Outcome, PartNumber
from service.words import stock_texts as texts
from service.words.names import Names
from service.words.summary import summary

TEXTS = {
    Outcome.FITS: texts.FITS,
    Outcome.FITS_WITH_PROGRAMMING: texts.FITS_PROGRAMMED,
    Outcome.CANNOT_TELL: texts.CANNOT_TELL,
}
"""What is said of the models of an outcome. Where it does not fit is told only if it fits nowhere."""


def destinations_summary(
    record: BoardRecord | None,
    parts: Sequence[PartNumber],
    models: Mapping[ModelId, Answer],
    names: Names,
) -> str:
    """What stands in the way of using the board at all, then where it can go."""
    return " ".join((*_state(record, names), *_places(parts, models, names)))


def no_candidate_sentence(why: Answer | None, names: Names) -> str:
    """What is said where no board is listed: none is in stock, or none could work there."""
    if why is None:
        return names.language.say(texts.NOTHING_IN_STOCK)
    told = summary(why, names)
    if why.outcome is not Outcome.DOES_NOT_FIT:
        return told
    return names.language.say(texts.NO_BOARD_WORKS, why=told)


def _state(record: BoardRecord | None, names: Names) -> Iterator[str]:
    if record is None:
        return
    if record.sold:
        yield names.language.say(texts.SOLD)
    if record.holds:
        yield names.language.say(texts.HELD)
    if Condition.USABLE not in record.conditions:
        found = (condition for condition in Condition if condition in record.conditions)
        yield from (names.language.say(texts.CONDITIONS[condition]) for condition in found)
    elif len(record.conditions) > 1:
        yield names.language.say(texts.PERHAPS_EXPOSED)
    if record.in_unit is not None:
        yield names.language.say(texts.FITTED)


def _places(parts: Sequence[PartNumber], models: Mapping[ModelId, Answer], names: Names) -> Iterator[str]:
    board = _board(parts, names)
    if not parts:
        yield names.language.say(texts.NO_PART)
    elif all(answer.outcome is Outcome.DOES_NOT_FIT for answer in models.values()):
        yield names.language.say(texts.NOWHERE, board=board)
    for outcome, text in TEXTS.items():
        of = [model for model, answer in models.items() if answer.outcome is outcome]
        if of:
            listed = names.language.either(names.language.a(names.model(model)) for model in of)
            yield names.language.say(text, board=board, models=listed)


def _board(parts: Sequence[PartNumber], names: Names) -> str:
    """The name of the board's role; just "board" where that is open."""
    known = (names.catalogue.parts.get(part) for part in parts)
    roles = {names.catalogue.roles[part.role].name for part in known if part is not None}
    return roles.pop() if len(roles) == 1 else names.language.say(texts.SOME_BOARD)
