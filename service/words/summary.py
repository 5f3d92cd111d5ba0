"""The summary: what a customer is told, in a few sentences. The consequence comes first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from service.domain.capability.idle import idle
from service.domain.facts.case import CASES_KEPT, CaseFacts
from service.domain.fit.answer import Answer
from service.domain.fit.conclusion import GroundedReason
from service.domain.fit.decision import Reason
from service.domain.fit.own_boards import perhaps_not_usable
from service.domain.place import Place
from service.domain.steps.workers import programmers
from service.domain.terms import Basis, Cause, Outcome, Programming, StepKind
from service.words import summary_texts as texts
from service.words.misread import misread_labels, misread_plate, unread_labels
from service.words.names import Names
from service.words.questions import question_sentence
from service.words.reasons import reason_sentence, weighed_sentence
from service.words.subjects import boards_name, other_board, those_who, unit_name

FIRST = ("identity_conflict", "unit_out_of_service")
"""Notes that a customer is told before the outcome."""
BESIDES = ("claim_contradicted", "record_contradicted", "recorded_in_another_unit", "sits_there_already")
"""Notes that a customer is told besides the outcome."""
OWN_BOARDS = ("own_board_scrapped", "own_board_failed_test", "own_board_exposed")
"""Notes on boards that stay and must not be used, told also where they are only possible."""
MOST_REASONS = 2
"""So many deciding reasons are told; the others are in the answer's list."""
NUMBER_MATTERS = frozenset({"part_not_listed", "outside_break", "role_not_in_model", "model_not_covered"})
"""Where one of these is said too, the number is not all the same."""


def summary(answer: Answer, names: Names) -> str:
    """The whole summary. One that tells no serial is kept for all answers with the same facts and notes."""
    unit = answer.case.unit
    if unit.identity_conflict or unit.unknown_layout or unread_labels(answer):
        return " ".join(_sentences(answer, names))
    notes = tuple([(note.reason.code, note.reason.place) for note in answer.notes])
    kept = _kept(answer.case.facts, notes, names)
    if not kept:
        kept.append(" ".join(_sentences(answer, names)))
    return kept[0]


@lru_cache(maxsize=CASES_KEPT)
def _kept(facts: CaseFacts, notes: tuple[tuple[str, Place], ...], names: Names) -> list[str]:  # noqa: ARG001 - the place is theirs
    """A place for what is said of these."""
    return []


def _sentences(answer: Answer, names: Names) -> Iterator[str]:
    yield from _noted(answer, names, FIRST)
    noted = [each.reason for each in answer.notes]
    if not answer.case.proposed:
        yield from own_boards(noted, names)
    match answer.outcome:
        case Outcome.CANNOT_TELL:
            yield from _cannot_tell(answer, names)
        case Outcome.DOES_NOT_FIT:
            yield from _does_not_fit(answer, names)
        case Outcome.FITS | Outcome.FITS_WITH_PROGRAMMING:
            yield from _fits(answer, names)
    if answer.case.proposed:
        yield from own_boards(noted, names)
    if answer.outcome is not Outcome.CANNOT_TELL:
        yield from _noted(answer, names, BESIDES)
        yield from _grounds(answer, names)


def own_boards(noted: Iterable[Reason], names: Names) -> Iterator[str]:
    """What must not be used of the machine itself. Of a machine as it is that comes first."""
    return (weighed_sentence(reason, names) for reason in noted if reason.code in OWN_BOARDS)


def _fits(answer: Answer, names: Names) -> Iterator[str]:
    yield names.language.say(
        _fitting_text(answer),
        boards=boards_name(answer, names),
        unit=unit_name(answer, names),
        who_has=_who_has(answer, names),
    )
    yield from _noted(answer, names, ("takes_model_permanently", "must_be_assigned"))
    steps = [planned.step for planned in answer.conclusion.steps]
    if any(step.kind is StepKind.MOUNT and not step.undoable for step in steps):
        yield names.language.say(texts.BINDS_AT_POWER_ON)
    yield from _idle(answer, names)


def _idle(answer: Answer, names: Names) -> Iterator[str]:
    found = idle(names.catalogue, answer.case.proposed, answer.capabilities) if answer.capabilities else ()
    if found:
        told = names.language.both(names.capability(each) for each in found)
        yield names.language.say(texts.STILL_NOT, unit=unit_name(answer, names), capabilities=told)


def _fitting_text(answer: Answer) -> str:
    boards = len(answer.case.proposed)
    match answer.programming:
        case Programming.NONE:
            runs = texts.GO_TOGETHER if perhaps_not_usable(answer.case) else texts.RUNS
            return _by_number(boards, runs, texts.FITS, texts.FITS_TOGETHER)
        case Programming.NEEDED:
            return _by_number(
                boards, texts.RUNS_PROGRAMMED, texts.FITS_PROGRAMMED, texts.FITS_PROGRAMMED_TOGETHER
            )
        case _:
            perhaps = texts.FITS_PERHAPS_PROGRAMMED, texts.FITS_PERHAPS_PROGRAMMED_TOGETHER
            return _by_number(boards, texts.RUNS_PERHAPS_PROGRAMMED, *perhaps)


def _by_number(boards: int, none: str, one: str, several: str) -> str:
    """The text for so many proposed boards: other languages bend the verb."""
    return (none, one, several)[min(boards, 2)]


def _who_has(answer: Answer, names: Names) -> str:
    """Who does what takes the programming tool, reading out aside; a dealer where there is no plan yet."""
    return those_who(programmers(answer.conclusion.steps), names)


def _does_not_fit(answer: Answer, names: Names) -> Iterator[str]:
    deciding = [grounded.reason for grounded in answer.reasons if grounded.reason.deciding]
    certain = [reason for reason in deciding if reason.certain]
    if not certain:
        yield names.language.say(texts.ANYHOW, unit=unit_name(answer, names))
    for reason in (certain or deciding)[:MOST_REASONS]:
        yield weighed_sentence(reason, names)
    codes = {grounded.reason.code for grounded in answer.reasons}
    if "starts_as_another_machine" in codes:
        yield from _noted(answer, names, ("starts_as_another_machine",))
    elif "bound_to_other_model" in codes and not codes & NUMBER_MATTERS:
        yield names.language.say(texts.NUMBER_EQUAL)
    if answer.would_fit_if:
        places = names.language.both(other_board(answer, names, place) for place in answer.would_fit_if)
        text = texts.WOULD_FIT_IF if answer.case.proposed else texts.WOULD_RUN_IF
        yield names.language.say(text, places=places)


def _cannot_tell(answer: Answer, names: Names) -> Iterator[str]:
    say = names.language.say
    if answer.cause is Cause.OUT_OF_SCOPE:
        yield from _noted(answer, names, ("model_not_covered",))
        return
    boards = boards_name(answer, names, inside=True)
    text = texts.CANNOT_TELL if answer.case.proposed else texts.CANNOT_TELL_RUNS
    yield say(text, boards=boards, unit=unit_name(answer, names))
    match answer.cause:
        case Cause.CONTRADICTION:
            yield from _contradiction(answer, names)
        case Cause.UNKNOWN_LAYOUT:
            yield misread_plate(answer, names)
        case Cause.BOUND_EXCEEDED:
            yield say(texts.TOO_MUCH)
        case _:
            yield from misread_labels(answer, names)
    yield from _noted(answer, names, BESIDES)
    yield from _next_question(answer, names)


def _next_question(answer: Answer, names: Names) -> Iterator[str]:
    """The question asked back, unless it was put already: a plate that was misread is read again."""
    if answer.ask is not None:
        if answer.cause is not Cause.UNKNOWN_LAYOUT or answer.ask.fact != "unit.serial":
            yield question_sentence(answer.ask, names)
    elif answer.cause is Cause.WORLDS_DIFFER:
        yield names.language.say(texts.NOTHING_SETTLES)


def _contradiction(answer: Answer, names: Names) -> Iterator[str]:
    """Which facts contradict each other; of an identity conflict the summary has told already."""
    told = list(_noted(answer, names, ("facts_contradict",)))
    yield from told
    if not told and not answer.case.unit.identity_conflict:
        yield names.language.say(texts.CORRECT_RECORD)


def _grounds(answer: Answer, names: Names) -> Iterator[str]:
    if answer.outcome is Outcome.DOES_NOT_FIT and answer.rests_on in (Basis.READ, Basis.RECORDED):
        return
    if answer.rests_on is Basis.ASSUMED:
        changed = answer.case.present or answer.case.empty
        yield names.language.say(texts.IF_OTHERS_UNTOUCHED if changed else texts.IF_UNTOUCHED)
    bases = {board.binding.basis for board in answer.case.proposed}
    bases |= {each.basis for each in answer.notes if each.reason.code in OWN_BOARDS}
    if Basis.CLAIMED in bases or answer.rests_on is Basis.CLAIMED:
        checked = answer.programming is Programming.NEEDED
        yield names.language.say(texts.ON_YOUR_WORD_UNTIL_READ if checked else texts.ON_YOUR_WORD)


def _noted(answer: Answer, names: Names, codes: tuple[str, ...]) -> Iterator[str]:
    found: list[GroundedReason] = [g for g in answer.reasons if g.reason.code in codes and g.reason.certain]
    yield from dict.fromkeys(reason_sentence(grounded.reason, names) for grounded in found)
