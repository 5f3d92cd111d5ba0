"""The answer to a question about software in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.domain.loading.planning import Loading
from service.domain.place import Place
from service.domain.software.task import Carried
from service.domain.software.versions import Version
from service.words import software_texts as texts
from service.words.language import one_spaced
from service.words.names import Names
from service.words.questions import case_line
from service.words.software_facts import Wanted, fact_sentence


def software_summary(answer: Loading, models: Sequence[str], wanted: Wanted, names: Names) -> str:
    """The answer as a customer hears it."""
    told = names.language.say(
        texts.SUMMARIES[answer.outcome],
        unit=names.models(models),
        target=_target(answer.target, names),
        effort=_effort(answer, names),
        why=" ".join(fact_sentence(each, wanted, models, names) for each in answer.why_not),
        cause=names.language.say(texts.CAUSES[answer.cause]) if answer.cause else "",
    )
    left_out = [
        names.language.say(texts.LEFT_OUT, board=names.place(Place(role))) for role in answer.left_out
    ]
    return " ".join([one_spaced(told), *left_out])


def _target(target: Mapping[Place, Carried], names: Names) -> str:
    if not target:
        return ""
    boards = (
        names.language.say(texts.ON_BOARD, board=names.place(place), version=str(version))
        for place, version in target.items()
    )
    return names.language.say(texts.TARGET, set=names.language.both(boards))


def _effort(answer: Loading, names: Names) -> str:
    if answer.minutes is None:
        return ""
    return " ".join(names.language.say(texts.EFFORT[who], most=str(answer.minutes[1])) for who in answer.who)


def load_sentence(place: Place, over: Version | None, version: Version, names: Names) -> str:
    """One load."""
    board = names.place(place)
    if over is None:
        return names.language.say(texts.LOAD, to=str(version), board=board)
    return names.language.say(texts.LOAD_OVER, to=str(version), board=board, over=str(over))


def case_text(whens: Sequence[Mapping[str, Sequence[str]]], *, done: bool, names: Names) -> str:
    """Which case this is, a line for each way it may be; `done`: and that nothing is left to load in it."""
    lines = [case_line(when, names) for when in whens]
    return "\n".join([*lines, names.language.say(texts.NOTHING_TO_LOAD)] if done else lines)
