"""The two pictures in words: a machine as it is, and what a board would change in it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from service.domain.fit.answer import Answer
from service.domain.fit.mending import Advice
from service.domain.terms import Outcome
from service.pictures.cards import Cards
from service.pictures.changes import changes, rows, work, work_title
from service.pictures.content import Mark, Picture, Row, Section
from service.pictures.standing import naming_place, standings
from service.pictures.whole import whole
from service.words import picture_texts as texts
from service.words.fit_texts import OUTCOMES
from service.words.names import Names
from service.words.page_texts import AGREEMENTS
from service.words.refusing import mend_sentence
from service.words.summary import summary

OUTCOME_MARKS = {
    Outcome.FITS: Mark.IN_ORDER,
    Outcome.FITS_WITH_PROGRAMMING: Mark.TO_DO,
    Outcome.DOES_NOT_FIT: Mark.IN_THE_WAY,
    Outcome.CANNOT_TELL: Mark.NOT_KNOWN,
}
AGREEMENT_MARKS = {
    "agree": Mark.IN_ORDER,
    "not_introduced": Mark.TO_DO,
    "disagree": Mark.IN_THE_WAY,
    "incomplete": Mark.IN_THE_WAY,
    "releases_disagree": Mark.IN_THE_WAY,
    "not_usable": Mark.IN_THE_WAY,
    "unknown": Mark.NOT_KNOWN,
}
"""By `usecases.units.Agreement`."""


def unit_picture(answer: Answer, agreement: str, advice: Advice | None, names: Names) -> Picture:
    """A machine as it is. `answer` is that about it with nothing proposed."""
    told = summary(answer, names)
    cards = Cards(answer, names, told)
    found = standings(answer)
    beside = naming_place(found)
    agreed = names.language.say(AGREEMENTS[agreement])
    wrong = advice is not None and AGREEMENT_MARKS[agreement] is not Mark.IN_ORDER
    sections = _sections(texts.MENDS, [mend_sentence(advice, names)] if advice and wrong else [], names)
    cautions = advice.cautions if advice and wrong else answer.cautions
    return whole(
        answer,
        names,
        title=names.language.say(texts.UNIT_TITLE),
        mark=AGREEMENT_MARKS[agreement],
        headline=agreed[:1].upper() + agreed[1:],
        columns=(names.language.say(texts.AS_IT_IS),),
        rows=tuple(Row(before=cards.card(each, beside)) for each in found if each.binds),
        others_title=names.language.say(texts.OTHERS),
        others=tuple(cards.card(each, beside, brief=True) for each in found if not each.binds),
        sections=sections,
        cautions=cautions,
    )


def fit_picture(answer: Answer, before: Answer, names: Names, as_of: datetime | None = None) -> Picture:
    """What boards would change: the machine as it is (`before`) beside the machine with them. `as_of` is the
    moment in the past that the question was put for."""
    told = summary(answer, names)
    as_is, with_it = Cards(before, names, told), Cards(answer, names, told)
    changed = {board.place for board in answer.case.proposed}
    is_open = bool(answer.case.facts.open_roles)
    rest = standings(before) if is_open else [s for s in standings(answer) if s.place not in changed]
    return whole(
        answer,
        names,
        title=names.language.say(texts.FIT_TITLE),
        mark=OUTCOME_MARKS[answer.outcome],
        headline=names.language.say(OUTCOMES[answer.outcome]),
        columns=(names.language.say(texts.AS_IT_IS), names.language.say(texts.WITH_BOARD)),
        rows=tuple(rows(as_is, with_it, changed)),
        others_title=names.language.say(texts.OTHERS if is_open else texts.OTHERS_STAY),
        others=tuple(with_it.card(each, None, brief=True) for each in rest if not each.binds),
        sections=(
            *_sections(texts.CHANGES, changes(answer, names), names),
            *_sections(work_title(answer), work(answer, names), names),
        ),
        cautions=answer.cautions,
        as_of=as_of,
    )


def _sections(title: str, lines: Sequence[str], names: Names) -> tuple[Section, ...]:
    return (Section(title=names.language.say(title), lines=tuple(lines)),) if lines else ()
