"""A whole answer as text, for a person at a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.domain.capability.comparing import Ability, Comparison, Hindrance
from service.domain.cautions import Caution
from service.domain.fit.answer import Answer
from service.domain.fit.asking import Answers
from service.domain.fit.decision import Reason
from service.domain.software.facts import fact_of
from service.domain.steps.merging import PlannedStep
from service.domain.terms import CapabilityId, Outcome, Overload
from service.words.capability_texts import BLOCKERS
from service.words.caution_texts import CAUTIONS, SIGNALS
from service.words.language import Language
from service.words.names import WHATEVER_IT_IS, Names
from service.words.questions import how_sentence, question_sentence, value_name
from service.words.reasons import weighed_sentence
from service.words.software_facts import fact_sentence
from service.words.software_texts import LOAD
from service.words.step_texts import PERMANENT, STEPS
from service.words.summary import summary

OUTCOMES = {
    Outcome.FITS: "FITS",
    Outcome.FITS_WITH_PROGRAMMING: "FITS, WITH PROGRAMMING",
    Outcome.DOES_NOT_FIT: "DOES NOT FIT",
    Outcome.CANNOT_TELL: "CANNOT TELL YET",
}
ENDS_AS = {
    Outcome.FITS: "fits",
    Outcome.FITS_WITH_PROGRAMMING: "fits, with programming",
    Outcome.DOES_NOT_FIT: "does not fit",
    Outcome.CANNOT_TELL: "cannot tell yet",
}
"""The same within a line."""
WHY = "Why"
TO_ASK = "To find out"
TO_DO = "What to do"
TO_DO_IF = "What to do if it turns out to fit"
AFTERWARDS = "Afterwards"
CAUTION = "Cautions"
MINUTES = "{least} to {most} minutes in all"
DEALER_DOES = "A dealer does it, in {least} to {most} minutes."
BY = "{who}, {least} to {most} min"
BY_EXACTLY = "{who}, {most} min"
WHO = {"owner": "owner", "dealer": "dealer", "maker": "maker"}
ONLY_IF = "Only if {fact} is {values}:"
ONLY_IF_OTHERS = "Depending on {fact}:"
GAINED = "gained"
MAY_GAIN = "perhaps gained"
LOST = "lost"
MAY_LOSE = "perhaps lost"
NOTHING = "nothing works: {why}"
PERHAPS = "perhaps {blocker}"
FROM_TO = "{least} to {most}"
YES = "yes"
NO = "no"
UNKNOWN = "not known"
ANSWERED = "{values}: {outcome}"
NOT_KNOWN = "not to be found out"
HELD = "HELD: something is on record against it. Ask before selling or programming."
REVISION = "Catalogue {revision}."


def fit_text(answer: Answer, names: Names) -> str:
    """The answer as paragraphs and lists, with a line break at the end."""
    say = names.language.say
    lines = [say(OUTCOMES[answer.outcome]), "", summary(answer, names)]
    if "held" in (answer.clearance.board, answer.clearance.unit, answer.clearance.donor):
        lines += ["", say(HELD)]
    lines += _list(say(WHY), _reasons(answer, names))
    lines += _list(say(TO_ASK), _ask(answer, names))
    to_do = TO_DO_IF if answer.outcome is Outcome.CANNOT_TELL else TO_DO
    lines += _list(say(to_do), _steps(answer, names))
    lines += _list(say(AFTERWARDS), _capabilities(answer.capabilities, names))
    lines += _list(say(CAUTION), (_caution(c, names) for c in answer.cautions))
    lines += ["", say(REVISION, revision=answer.revision)]
    return "\n".join(lines) + "\n"


def _caution(caution: Caution, names: Names) -> str:
    say = names.language.say
    return names.language.labelled(say(SIGNALS[caution.signal]), say(CAUTIONS[caution.code]))


def step_sentence(planned: PlannedStep, names: Names) -> str:
    """One step as the bench reads it."""
    step = planned.step
    key = "read_out_old" if step.kind == "read_out" and step.old else str(step.kind)
    board = names.place(step.place) if step.place else ""
    if step.place is not None and step.release is not None:
        release = names.catalogue.roles[step.place.role].releases[step.release]
        return names.language.say(LOAD, to=release, board=board)
    text = names.language.say(STEPS[key], board=board, subject=names.own(step.procedure.subject_name))
    return text if step.undoable else f"{text} {names.language.say(PERMANENT)}"


def blocker_phrase(blocker: Hindrance, names: Names) -> str:
    """What stands between the unit and a capability, or may stand there."""
    said = _blocker(blocker, names)
    return said if blocker.certain else names.language.say(PERHAPS, blocker=said)


def _blocker(blocker: Hindrance, names: Names) -> str:
    facts = blocker.facts
    return names.language.say(
        BLOCKERS[_blocker_key(blocker)],
        a_unit=names.a_model(facts.get("unit_model", ()), many=WHATEVER_IT_IS),
        hardware=names.language.either(facts.get("hardware", ())),
        allowed=names.language.either(facts.get("allowed", ())),
        board=names.language.either(names.fact(f"{role}.release")[0] for role in facts.get("role", ())),
        an_accessory=names.language.either(
            names.language.a(names.accessory(each)) for each in facts.get("accessory", ())
        ),
        market=names.language.either(map(names.market, facts.get("market", ()))),
    )


def _blocker_key(blocker: Hindrance) -> str:
    if blocker.code != "not_allowed_for_model":
        return blocker.code
    if set(blocker.facts["hardware"]) == {"0"}:
        return "not_allowed_nor_there"
    if set(blocker.facts["allowed"]) == {"0"}:
        return blocker.code
    return "more_reports_error" if Overload.REPORTS_ERROR in blocker.facts["more"] else "more_than_allowed"


def _list(title: str, items: Iterator[str]) -> list[str]:
    lines = [f"  - {item}" for item in items]
    return ["", title, *lines] if lines else []


def _reasons(answer: Answer, names: Names) -> Iterator[str]:
    yield from dict.fromkeys(each for found in answer.reasons for each in _told(found.reason, names))


def _told(reason: Reason, names: Names) -> Iterator[str]:
    """A reason, and the facts that together are one."""
    yield weighed_sentence(reason, names)
    for fact in map(fact_of, reason.facts.get("because", ())):
        yield fact_sentence(fact, {}, reason.facts["unit_model"], names)


def _ask(answer: Answer, names: Names) -> Iterator[str]:
    if answer.ask is None:
        return
    how = how_sentence(answer.ask, answer.case.facts.loose, names)
    yield f"{question_sentence(answer.ask, names)} {how}"
    for answers in answer.ask.answers:
        yield names.language.say(ANSWERED, values=_values(answers, names), outcome=_outcome(answers, names))


def _values(answers: Answers, names: Names) -> str:
    values = [value_name(value, names) for value in answers.values]
    return ", ".join(values) if values else names.language.say(NOT_KNOWN)


def _outcome(answers: Answers, names: Names) -> str:
    return names.language.say(ENDS_AS[answers.outcome])


def by_whom(who: str, least: int, most: int, language: Language) -> str:
    """Who does a step, and in how many minutes."""
    text = BY if least < most else BY_EXACTLY
    return language.say(text, who=language.say(WHO[who]), least=str(least), most=str(most))


def _steps(answer: Answer, names: Names) -> Iterator[str]:
    for planned in answer.steps:
        procedure = planned.step.procedure
        by = by_whom(procedure.who, *procedure.minutes, names.language)
        yield f"{_condition(planned, names)}{step_sentence(planned, names)} ({by})"
    if answer.minutes:
        least, most = answer.minutes
        yield names.language.say(MINUTES if answer.steps else DEALER_DOES, least=str(least), most=str(most))


def _condition(planned: PlannedStep, names: Names) -> str:
    if planned.condition is None:
        return ""
    fact, values = planned.condition
    asked = question_name(fact, names)
    if not values:
        return names.language.say(ONLY_IF_OTHERS, fact=asked) + " "
    either = names.language.either(value_name(value, names) for value in values)
    return names.language.say(ONLY_IF, fact=asked, values=either) + " "


FACTS = {
    "part": "the part of the {board}",
    "binding": "what the {board} is programmed for",
    "holds": "the serial number that the {board} carries",
    "condition": "the condition of the {board}",
    "introduced": "whether the {board} was introduced",
    "release": "the software of the {board}",
    "model": "the machine's model",
    "serial": "the machine's serial number",
    "made_on": "the day the machine was made",
    "market": "the machine's market",
}


def case_line(when: Mapping[str, Sequence[str]], names: Names) -> str:
    """Which case this is, as facts with their values; a fact without any has no board to be of."""
    return names.language.apart(
        names.language.labelled(
            question_name(fact, names),
            ", ".join(value_name(each, names) for each in values) or "–",  # noqa: RUF001 - a dash for nothing
        )
        for fact, values in when.items()
    )


def question_name(fact: str, names: Names) -> str:
    """A fact as a phrase."""
    board, attribute = names.fact(fact)
    return names.language.say(FACTS[attribute], board=board)


def _capabilities(compared: Comparison | None, names: Names) -> Iterator[str]:
    """What changes, and what stands in the way of the rest. A unit that does not run is told in one line."""
    if compared is None or not compared.after:
        return
    why = _nothing_works(compared)
    if why:
        yield names.language.say(NOTHING, why=blocker_phrase(why, names))
        return
    lost = dict(compared.lost())
    gained, perhaps = compared.gained(), compared.may_gain()
    for capability, ability in compared.after.items():
        change = _change(capability, gained, perhaps, lost)
        blockers = [blocker_phrase(b, names) for b in ability.blockers if b.certain]
        if change or blockers:
            more = [*(names.language.say(text) for text in change), *blockers]
            told = names.language.apart([_amount(ability, names), *more])
            yield names.language.labelled(names.capability(capability), told)


def _nothing_works(compared: Comparison) -> Hindrance | None:
    """The blocker that all capabilities share in every world because the unit does not run."""
    for blocker in next(iter(compared.after.values())).blockers:
        if blocker.certain and blocker.code in ("boards_disagree", "board_missing", "does_not_fit"):
            return blocker
    return None


def _change(
    capability: CapabilityId,
    gained: list[CapabilityId],
    perhaps: list[CapabilityId],
    lost: dict[CapabilityId, bool],
) -> list[str]:
    if capability in gained or capability in perhaps:
        return [GAINED if capability in gained else MAY_GAIN]
    return [LOST if lost[capability] else MAY_LOSE] if capability in lost else []


def _amount(ability: Ability, names: Names) -> str:
    if ability.is_count:
        least, most = str(ability.least), str(ability.most)
        return most if least == most else names.language.say(FROM_TO, least=least, most=most)
    return names.language.say({"yes": YES, "no": NO, "unknown": UNKNOWN}[ability.value])
