"""What every picture has: how the machine is called, what is held, cautions, a legend, all read aloud."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from service.domain.cautions import Caution
from service.domain.fit.answer import Answer
from service.domain.terms import Clearance
from service.pictures.aloud import aloud
from service.pictures.cards import FEW
from service.pictures.content import Card, Key, Mark, Pair, Picture, Row, Section, Tie, Warned
from service.words import picture_texts as texts
from service.words.amounts import day
from service.words.caution_texts import CAUTIONS, SIGNALS
from service.words.fit_texts import CAUTION, HELD, REVISION
from service.words.names import Names
from service.words.summary import summary


def whole(
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
    """A picture with what it has of its own, and the rest of the answer."""
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
