"""The summary: what a customer is told, in a few sentences. The consequence comes first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from service.domain.capability.idle import idle
from service.domain.fit.answer import Answer
from service.domain.fit.conclusion import GroundedReason
from service.domain.fit.own_boards import perhaps_not_usable
from service.domain.place import Place
from service.domain.serials import Subject, Unreadable, UnreadableCause, decode
from service.domain.steps.workers import programmers
from service.domain.terms import Basis, Cause, Outcome, Programming, StepKind, Who
from service.words.names import Names
from service.words.questions import question_sentence
from service.words.reasons import reason_sentence, weighed_sentence

BESIDES = ("claim_contradicted", "record_contradicted", "recorded_in_another_unit", "sits_there_already")
"""Notes that a customer is told besides the outcome."""
OWN_BOARDS = ("own_board_scrapped", "own_board_failed_test", "own_board_exposed")
"""Notes on boards that stay and must not be used, told also where they are only possible."""
MOST_REASONS = 2
"""So many deciding reasons are told; the others are in the answer's list."""

FITS = "{boards} will work in your {unit}. Nothing has to be programmed."
FITS_TOGETHER = "{boards} go together and will work in your {unit}. Nothing has to be programmed."
FITS_PROGRAMMED = "{boards} will work in your {unit}, but it will not run until {who_has} programmed it."
FITS_PROGRAMMED_TOGETHER = (
    "{boards} will work in your {unit}, but it will not run until {who_has} programmed them."
)
FITS_PERHAPS_PROGRAMMED = (
    "{boards} will work in your {unit}. Whether anything has to be programmed first is not known yet."
)
FITS_PERHAPS_PROGRAMMED_TOGETHER = (
    "{boards} go together and will work in your {unit}. "
    "Whether anything has to be programmed first is not known yet."
)
RUNS = "Your {unit} runs with the boards that are in it."
RUNS_PROGRAMMED = "Your {unit} will not run until {who_has} programmed the boards that are in it."
RUNS_PERHAPS_PROGRAMMED = (
    "The boards in your {unit} go together. Whether anything still has to be programmed is not known yet."
)
GO_TOGETHER = "Apart from that, the boards in your {unit} go together."
BINDS_AT_POWER_ON = (
    "The first time it is switched on it takes on the machine's model, permanently: do not fit it on trial."
)
STILL_NOT = "Your {unit} will still not have this: {capabilities}. It is not allowed for this model."
ONE_HAS = "{who} has"
SEVERAL_HAVE = "{who} have"
WHO_PROGRAMS = {Who.OWNER: "its owner", Who.DEALER: "a dealer", Who.MAKER: "the maker"}
CANNOT_TELL = "We cannot tell yet whether {boards} will work in your {unit}."
CANNOT_TELL_RUNS = "We cannot tell yet whether your {unit} runs with the boards that are in it."
ANYHOW = "It will not work in your {unit}, whichever of these it turns out to be."
NUMBER_EQUAL = "That the part number is the same does not change this."
NUMBER_MATTERS = frozenset({"part_not_listed", "outside_break", "role_not_in_model", "model_not_covered"})
"""Where one of these is said too, the number is not all the same."""
WOULD_FIT_IF = "With {places} in the machine it would fit."
ANOTHER = "another {board}"
WOULD_RUN_IF = "With {places} it would run."
IF_UNTOUCHED = "This holds if nobody has changed a board in the machine before."
IF_OTHERS_UNTOUCHED = "This holds if nobody has changed any other board in the machine before."
ON_YOUR_WORD = "We go by what we were told."
ON_YOUR_WORD_UNTIL_READ = "We go by what we were told; it is checked before anything is programmed."
NOTHING_SETTLES = (
    "Nothing that you can find out yourself settles it; a dealer has to look at the machine and the board."
)
TOO_MUCH = "Too much is unknown at once. Tell us the machine's model or the board's part number."
UNREADABLE = (
    "The serial number {serial} does not follow any layout that we know. Please read the plate again."
)
MISREAD = "The serial number {serial} cannot be right: please read character {positions} of the plate again."
UNREADABLE_LABEL = (
    "The board's serial number {serial} does not follow any layout that we know. Please read its label again."
)
MISREAD_LABEL = (
    "The board's serial number {serial} cannot be right: please read character {positions} of it again."
)
CORRECT_RECORD = (
    "What is known contradicts itself, so the record has to be corrected before anybody can tell."
)
YOUR_MACHINE = "machine"
THE_BOARDS = "These boards"
THE_BOARDS_INSIDE = "these boards"
THIS_BOARD = "This {board}"
THIS_BOARD_INSIDE = "this {board}"
SOME_BOARD = "board"


def summary(answer: Answer, names: Names) -> str:
    """The whole summary."""
    if answer.notes or answer.case.unit.unknown_layout or any(_unread_labels(answer)):
        return " ".join(_sentences(answer, names))
    return _of_facts(_Alike(answer), names)


class _Alike:
    """An answer that says nothing of its very boards: equal to any other with the same facts."""

    __slots__ = ("answer",)

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __hash__(self) -> int:
        return hash(self.answer.case.facts)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Alike) and self.answer.case.facts is other.answer.case.facts


@lru_cache(maxsize=4_096)
def _of_facts(alike: _Alike, names: Names) -> str:
    return " ".join(_sentences(alike.answer, names))


def _sentences(answer: Answer, names: Names) -> Iterator[str]:
    yield from _noted(answer, names, ("identity_conflict",))
    if not answer.case.proposed:
        yield from _own_boards(answer, names)
    match answer.outcome:
        case Outcome.CANNOT_TELL:
            yield from _cannot_tell(answer, names)
        case Outcome.DOES_NOT_FIT:
            yield from _does_not_fit(answer, names)
        case Outcome.FITS | Outcome.FITS_WITH_PROGRAMMING:
            yield from _fits(answer, names)
    if answer.case.proposed:
        yield from _own_boards(answer, names)
    if answer.outcome is not Outcome.CANNOT_TELL:
        yield from _noted(answer, names, BESIDES)
        yield from _grounds(answer, names)


def _own_boards(answer: Answer, names: Names) -> Iterator[str]:
    """What must not be used of the machine itself. Of a machine as it is that comes first."""
    found = (each.reason for each in answer.notes if each.reason.code in OWN_BOARDS)
    yield from (weighed_sentence(reason, names) for reason in found)


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
        yield names.language.say(BINDS_AT_POWER_ON)
    yield from _idle(answer, names)


def _idle(answer: Answer, names: Names) -> Iterator[str]:
    found = idle(names.catalogue, answer.case.proposed, answer.capabilities) if answer.capabilities else ()
    if found:
        told = names.language.both(names.capability(each) for each in found)
        yield names.language.say(STILL_NOT, unit=unit_name(answer, names), capabilities=told)


def _fitting_text(answer: Answer) -> str:
    boards = len(answer.case.proposed)
    match answer.programming:
        case Programming.NONE:
            runs = GO_TOGETHER if perhaps_not_usable(answer.case) else RUNS
            return _by_number(boards, runs, FITS, FITS_TOGETHER)
        case Programming.NEEDED:
            return _by_number(boards, RUNS_PROGRAMMED, FITS_PROGRAMMED, FITS_PROGRAMMED_TOGETHER)
        case _:
            perhaps = FITS_PERHAPS_PROGRAMMED, FITS_PERHAPS_PROGRAMMED_TOGETHER
            return _by_number(boards, RUNS_PERHAPS_PROGRAMMED, *perhaps)


def _by_number(boards: int, none: str, one: str, several: str) -> str:
    """The text for so many proposed boards: other languages bend the verb."""
    return (none, one, several)[min(boards, 2)]


def _who_has(answer: Answer, names: Names) -> str:
    """Who does what takes the programming tool, reading out aside; a dealer where there is no plan yet."""
    return those_who(programmers(answer.conclusion.steps), names)


def those_who(found: Sequence[Who], names: Names) -> str:
    """Who has to do something, as "a dealer has" or "its owner and the maker have"; nobody is a dealer."""
    named = found or (Who.DEALER,)
    who = names.language.both(names.language.say(WHO_PROGRAMS[each]) for each in named)
    return names.language.say(ONE_HAS if len(named) == 1 else SEVERAL_HAVE, who=who)


def _does_not_fit(answer: Answer, names: Names) -> Iterator[str]:
    deciding = [grounded.reason for grounded in answer.reasons if grounded.reason.deciding]
    certain = [reason for reason in deciding if reason.certain]
    if not certain:
        yield names.language.say(ANYHOW, unit=unit_name(answer, names))
    for reason in (certain or deciding)[:MOST_REASONS]:
        yield weighed_sentence(reason, names)
    codes = {grounded.reason.code for grounded in answer.reasons}
    if "starts_as_another_machine" in codes:
        yield from _noted(answer, names, ("starts_as_another_machine",))
    elif "bound_to_other_model" in codes and not codes & NUMBER_MATTERS:
        yield names.language.say(NUMBER_EQUAL)
    if answer.would_fit_if:
        places = names.language.both(other_board(answer, names, place) for place in answer.would_fit_if)
        text = WOULD_FIT_IF if answer.case.proposed else WOULD_RUN_IF
        yield names.language.say(text, places=places)


def other_board(answer: Answer, names: Names, place: Place) -> str:
    """What has to be in a place: a board where there is none, else another one."""
    board = names.place(place)
    return names.language.a(board) if place in answer.case.empty else names.language.say(ANOTHER, board=board)


def _cannot_tell(answer: Answer, names: Names) -> Iterator[str]:
    say = names.language.say
    if answer.cause is Cause.OUT_OF_SCOPE:
        yield from _noted(answer, names, ("model_not_covered",))
        return
    boards = boards_name(answer, names, inside=True)
    text = CANNOT_TELL if answer.case.proposed else CANNOT_TELL_RUNS
    yield say(text, boards=boards, unit=unit_name(answer, names))
    match answer.cause:
        case Cause.CONTRADICTION:
            yield from _contradiction(answer, names)
        case Cause.UNKNOWN_LAYOUT:
            yield _unreadable(answer, names)
        case Cause.BOUND_EXCEEDED:
            yield say(TOO_MUCH)
        case _:
            yield from _labels(answer, names)
    yield from _noted(answer, names, BESIDES)
    yield from _next_question(answer, names)


def _next_question(answer: Answer, names: Names) -> Iterator[str]:
    """The question asked back, unless it was put already: a plate that was misread is read again."""
    if answer.ask is not None:
        if answer.cause is not Cause.UNKNOWN_LAYOUT or answer.ask.fact != "unit.serial":
            yield question_sentence(answer.ask, names)
    elif answer.cause is Cause.WORLDS_DIFFER:
        yield names.language.say(NOTHING_SETTLES)


def _contradiction(answer: Answer, names: Names) -> Iterator[str]:
    """Which facts contradict each other; of an identity conflict the summary has told already."""
    told = list(_noted(answer, names, ("facts_contradict",)))
    yield from told
    if not told and not answer.case.unit.identity_conflict:
        yield names.language.say(CORRECT_RECORD)


def _unread_labels(answer: Answer) -> Iterator[str | None]:
    """Serials of proposed boards that tell nothing of the part."""
    return (b.serial for b in answer.case.proposed if b.record is None and not b.part.values)


def _labels(answer: Answer, names: Names) -> Iterator[str]:
    """The labels that were misread, where a board's part is not known otherwise."""
    unknown = _unread_labels(answer)
    for serial in dict.fromkeys(unknown):
        found = decode(names.catalogue.schemes, Subject.BOARD, serial) if serial else None
        if isinstance(found, Unreadable):
            yield _read_again(found, names, MISREAD_LABEL, UNREADABLE_LABEL)


def _unreadable(answer: Answer, names: Names) -> str:
    plate = answer.case.unit.plate
    assert isinstance(plate, Unreadable)
    return _read_again(plate, names, MISREAD, UNREADABLE)


def _read_again(found: Unreadable, names: Names, misread: str, unreadable: str) -> str:
    if found.cause is UnreadableCause.NO_SCHEME or not found.read_first:
        return names.language.say(unreadable, serial=found.serial)
    positions = names.language.either(map(str, found.read_first))
    return names.language.say(misread, serial=found.serial, positions=positions)


def _grounds(answer: Answer, names: Names) -> Iterator[str]:
    if answer.outcome is Outcome.DOES_NOT_FIT and answer.rests_on in (Basis.READ, Basis.RECORDED):
        return
    if answer.rests_on is Basis.ASSUMED:
        changed = answer.case.present or answer.case.empty
        yield names.language.say(IF_OTHERS_UNTOUCHED if changed else IF_UNTOUCHED)
    bases = {board.binding.basis for board in answer.case.proposed}
    bases |= {each.basis for each in answer.notes if each.reason.code in OWN_BOARDS}
    if Basis.CLAIMED in bases or answer.rests_on is Basis.CLAIMED:
        checked = answer.programming is Programming.NEEDED
        yield names.language.say(ON_YOUR_WORD_UNTIL_READ if checked else ON_YOUR_WORD)


def _noted(answer: Answer, names: Names, codes: tuple[str, ...]) -> Iterator[str]:
    found: list[GroundedReason] = [g for g in answer.reasons if g.reason.code in codes and g.reason.certain]
    yield from dict.fromkeys(reason_sentence(grounded.reason, names) for grounded in found)


def unit_name(answer: Answer, names: Names) -> str:
    """The unit as a customer calls it: its model where that is known."""
    models = answer.case.unit.model.values
    if models is not None and len(models) == 1:
        return names.model(next(iter(models)))
    return names.language.say(YOUR_MACHINE)


def boards_name(answer: Answer, names: Names, *, inside: bool = False) -> str:
    """The proposed boards, as the start of a sentence or inside of one."""
    say = names.language.say
    places = [board.place for board in answer.case.proposed]
    if answer.case.facts.open_roles:
        return say(THIS_BOARD_INSIDE if inside else THIS_BOARD, board=say(SOME_BOARD))
    if len(places) == 1:
        return say(THIS_BOARD_INSIDE if inside else THIS_BOARD, board=names.place(places[0]))
    return say(THE_BOARDS_INSIDE if inside else THE_BOARDS)
