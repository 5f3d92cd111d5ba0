"""The two pictures in words: a machine as it is, and what a board would change in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from service.domain.capability.comparing import Comparison
from service.domain.cautions import Caution
from service.domain.fit.answer import Answer
from service.domain.fit.mending import Advice
from service.domain.place import Place
from service.domain.terms import Clearance, Fit, Outcome
from service.pictures.aloud import aloud
from service.pictures.cards import FEW, Cards, state
from service.pictures.content import Card, Key, Mark, Pair, Picture, Row, Section, Tie, Warned
from service.pictures.standing import Standing, proposed_without_role, standings
from service.words import picture_texts as texts
from service.words.amounts import day
from service.words.caution_texts import CAUTIONS, SIGNALS
from service.words.fit_texts import CAUTION, DEALER_DOES, HELD, MINUTES, OUTCOMES, REVISION
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
    beside = _naming_place(found)
    agreed = names.language.say(AGREEMENTS[agreement])
    wrong = advice is not None and AGREEMENT_MARKS[agreement] is not Mark.IN_ORDER
    sections = _sections(texts.MENDS, [mend_sentence(advice, names)] if advice and wrong else [], names)
    cautions = advice.cautions if advice and wrong else answer.cautions
    return _whole(
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
    return _whole(
        answer,
        names,
        title=names.language.say(texts.FIT_TITLE),
        mark=OUTCOME_MARKS[answer.outcome],
        headline=names.language.say(OUTCOMES[answer.outcome]),
        columns=(names.language.say(texts.AS_IT_IS), names.language.say(texts.WITH_BOARD)),
        rows=tuple(_rows(as_is, with_it, changed)),
        others_title=names.language.say(texts.OTHERS if is_open else texts.OTHERS_STAY),
        others=tuple(with_it.card(each, None, brief=True) for each in rest if not each.binds),
        sections=(
            *_sections(texts.CHANGES, _changes(answer, names), names),
            *_sections(_work_title(answer), _work(answer, names), names),
        ),
        cautions=answer.cautions,
        as_of=as_of,
    )


def _rows(as_is: Cards, with_it: Cards, changed: Iterable[Place]) -> Iterator[Row]:
    """The places that bind or change, before and after."""
    olds = {each.place: each for each in standings(as_is.answer)}
    news = {each.place: each for each in standings(with_it.answer)}
    names = with_it.names
    open_board = proposed_without_role(with_it.answer)
    shown = [each for each in news.values() if each.binds or (not open_board and each.place in changed)]
    beside = _naming_place(olds.values()), _naming_place(news.values())
    for new in shown:
        old = olds.get(new.place)
        flags = _flags(old, new, names)
        yield Row(
            before=as_is.card(old, beside[0], flags[0]) if old and old.exists else None,
            after=None if open_board else with_it.card(new, beside[1], flags[1]),
        )
    if open_board is not None:
        roles = names.language.either(
            names.place(Place(role)) for role in with_it.answer.case.facts.open_roles
        )
        yield Row(
            after=Card(
                name=names.language.say(texts.SOME_BOARD),
                mark=Mark.NOT_KNOWN,
                state=state(Mark.NOT_KNOWN, names.language.say(texts.GOES_IN), names),
                serial=open_board.serial or "",
                facts=(names.language.say(texts.KIND_NOT_KNOWN, boards=roles),),
                proposed=True,
            )
        )


def _flags(old: Standing | None, new: Standing, names: Names) -> tuple[str, str]:
    """What happens to the board that is there, and to the one that is there afterwards."""
    say = names.language.say
    if not new.proposed:
        return "", "" if new.empty else say(texts.STAYS)
    leaves = old is not None and not old.empty and (old.board is not None or bool(old.worlds))
    return say(texts.COMES_OUT) if leaves else "", say(texts.GOES_IN)


def _naming_place(found: Iterable[Standing]) -> Place | None:
    return next((each.place for each in found if each.names and not each.empty and each.worlds), None)


def _changes(answer: Answer, names: Names) -> list[str]:
    compared = answer.capabilities
    if compared is None or not compared.after:
        return []
    if answer.fit is Fit.NO:
        return [names.language.say(texts.NOTHING_RUNS)]
    told = [
        names.language.say(text, capabilities=names.language.apart(map(names.capability, of)))
        for text, of in _by_kind(compared)
        if of
    ]
    return told or [names.language.say(texts.ALL_STAYS)]


def _by_kind(compared: Comparison) -> Iterator[tuple[str, Sequence[str]]]:
    lost = compared.lost()
    yield texts.GAINS, compared.gained()
    yield texts.MAY_GAIN, compared.may_gain()
    yield texts.LOSES, [capability for capability, sure in lost if sure]
    yield texts.MAY_LOSE, [capability for capability, sure in lost if not sure]


def _work_title(answer: Answer) -> str:
    return texts.WORK if answer.fit is Fit.YES else texts.WORK_IF_IT_FITS


def _work(answer: Answer, names: Names) -> list[str]:
    if not answer.minutes:
        return []
    least, most = map(str, answer.minutes)
    said = names.language.say(MINUTES if answer.steps else DEALER_DOES, least=least, most=most)
    return [said[:1].upper() + said[1:]]


def _sections(title: str, lines: Sequence[str], names: Names) -> tuple[Section, ...]:
    return (Section(title=names.language.say(title), lines=tuple(lines)),) if lines else ()


def _whole(
    answer: Answer,
    names: Names,
    *,
    title: str,
    mark: Mark,
    headline: str,
    columns: tuple[str, ...],
    rows: tuple[Row, ...],
    others_title: str,
    others: tuple[Card, ...],
    sections: tuple[Section, ...],
    cautions: Iterable[Caution],
    as_of: datetime | None = None,
) -> Picture:
    say = names.language.say
    cards = [card for row in rows for card in (row.before, row.after) if card] + list(others)
    models = sorted(answer.case.unit.model.values or ())
    known = names.language.either(map(names.model, models)) if 0 < len(models) <= FEW else ""
    picture = Picture(
        language=names.language.code,
        title=title,
        name=" ".join(filter(None, (known, answer.case.unit.serial))),
        machine=say(texts.MACHINE),
        identity=tuple(_identity(known, answer.case.unit.serial, as_of, names)),
        chip=known or say(texts.MODEL_OPEN),
        tie=Tie.SAME if known else Tie.OPEN,
        mark=mark,
        headline=headline,
        summary=summary(answer, names),
        held=say(HELD) if _is_held(answer) else "",
        columns=columns,
        rows=rows,
        others_title=others_title,
        others=others,
        sections=sections,
        cautions=say(CAUTION),
        warned=tuple(
            Warned(signal=say(SIGNALS[each.signal]), text=say(CAUTIONS[each.code])) for each in cautions
        ),
        legend=say(texts.LEGEND),
        keys=tuple(_keys([mark, *(card.mark for card in cards)], cards, names)),
        footer=say(REVISION, revision=answer.revision),
        aloud="",
    )
    return replace(picture, aloud=aloud(picture, names))


def _identity(known: str, serial: str | None, as_of: datetime | None, names: Names) -> Iterator[str]:
    """Sentences about the machine itself."""
    say = names.language.say
    yield say(texts.ITS_MODEL, models=known) if known else say(texts.ITS_MODEL_NOT_KNOWN)
    if serial:
        yield say(texts.PLATE, serial=serial)
    if as_of:
        yield _known_on(as_of, names)


def _is_held(answer: Answer) -> bool:
    return Clearance.HELD in (answer.clearance.board, answer.clearance.unit, answer.clearance.donor)


def _known_on(as_of: datetime, names: Names) -> str:
    at = as_of.astimezone(UTC)
    shown = day(at.date().isoformat(), names.language)
    return names.language.say(texts.KNOWN_ON, day=shown, time=f"{at:%H:%M}")


def _keys(marks: Iterable[Mark], cards: Sequence[Card], names: Names) -> Iterator[Key]:
    """The legend: the marks and lines that are there."""
    say = names.language.say
    seen = set(marks)
    yield from (Key(of=mark, text=say(texts.MARKS[mark])) for mark in Mark if mark in seen)
    ties = {card.tie for card in cards}
    yield from (Key(of=tie, text=say(texts.TIES[tie])) for tie in Tie if tie in ties)
    pairs = {card.pair for card in cards}
    yield from (Key(of=pair, text=say(texts.LINKS[pair])) for pair in Pair if pair in pairs)
