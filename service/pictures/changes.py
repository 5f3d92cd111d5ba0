"""What boards would change: the places before and after, what the machine can do then, and the work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from service.domain.capability.comparing import Comparison
from service.domain.fit.answer import Answer
from service.domain.place import Place
from service.domain.terms import Fit
from service.pictures.cards import Cards, state
from service.pictures.content import Card, Mark, Row
from service.pictures.standing import Standing, naming_place, proposed_without_role, standings
from service.words import picture_texts as texts
from service.words.fit_texts import DEALER_DOES, MINUTES
from service.words.names import Names


def rows(as_is: Cards, with_it: Cards, changed: Iterable[Place]) -> Iterator[Row]:
    """The places that bind or change, before and after."""
    olds = {each.place: each for each in standings(as_is.answer)}
    news = {each.place: each for each in standings(with_it.answer)}
    names = with_it.names
    open_board = proposed_without_role(with_it.answer)
    shown = [each for each in news.values() if each.binds or (not open_board and each.place in changed)]
    beside = naming_place(olds.values()), naming_place(news.values())
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


def changes(answer: Answer, names: Names) -> list[str]:
    """What the machine gains and loses, a line each."""
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


def work_title(answer: Answer) -> str:
    """What stands above the work."""
    return texts.WORK if answer.fit is Fit.YES else texts.WORK_IF_IT_FITS


def work(answer: Answer, names: Names) -> list[str]:
    """Who does it and how long it takes; nothing where nothing is to be done."""
    if not answer.minutes:
        return []
    least, most = map(str, answer.minutes)
    said = names.language.say(MINUTES if answer.steps else DEALER_DOES, least=least, most=most)
    return [said[:1].upper() + said[1:]]
