"""A whole answer as text, for a person at a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.capability.comparing import Ability, Comparison, Hindrance
from service.domain.cautions import Caution
from service.domain.fit.answer import Answer
from service.domain.fit.asking import Answers
from service.domain.fit.decision import Reason
from service.domain.software.facts import fact_of
from service.domain.steps.merging import PlannedStep
from service.domain.terms import CapabilityId, Outcome
from service.words import fit_texts as texts
from service.words.abilities import blocker_phrase
from service.words.caution_texts import CAUTIONS, SIGNALS
from service.words.names import Names
from service.words.questions import how_sentence, question_name, question_sentence, value_name
from service.words.reasons import weighed_sentence
from service.words.software_facts import fact_sentence
from service.words.steps import by_whom, step_sentence
from service.words.summary import summary

MOST_POSSIBLE = 5
"""So many reasons that do not hold in every case are told in the text; the answer as data has them all."""


def fit_text(answer: Answer, names: Names) -> str:
    """The answer as paragraphs and lists, with a line break at the end."""
    say = names.language.say
    lines = [say(texts.OUTCOMES[answer.outcome]), "", summary(answer, names)]
    if "held" in (answer.clearance.board, answer.clearance.unit, answer.clearance.donor):
        lines += ["", say(texts.HELD)]
    lines += _list(say(texts.WHY), _reasons(answer, names))
    lines += _list(say(texts.TO_ASK), _ask(answer, names))
    to_do = texts.TO_DO_IF if answer.outcome is Outcome.CANNOT_TELL else texts.TO_DO
    lines += _list(say(to_do), _steps(answer, names))
    lines += _list(say(texts.AFTERWARDS), _capabilities(answer.capabilities, names))
    lines += _list(say(texts.CAUTION), (_caution(c, names) for c in answer.cautions))
    lines += ["", say(texts.REVISION, revision=answer.revision)]
    return "\n".join(lines) + "\n"


def _caution(caution: Caution, names: Names) -> str:
    say = names.language.say
    return names.language.labelled(say(SIGNALS[caution.signal]), say(CAUTIONS[caution.code]))


def _list(title: str, items: Iterator[str]) -> list[str]:
    lines = [f"  - {item}" for item in items]
    return ["", title, *lines] if lines else []


def _reasons(answer: Answer, names: Names) -> Iterator[str]:
    """What is certain, and the first things that are possible: a person reads no more of them."""
    possible = [found.reason for found in answer.reasons if not found.reason.certain]
    kind_open = bool(answer.case.facts.open_roles)
    left_out = possible if kind_open else possible[MOST_POSSIBLE:]
    told = (found.reason for found in answer.reasons if found.reason not in left_out)
    yield from dict.fromkeys(each for reason in told for each in _told(reason, names))
    if left_out:
        yield names.language.say(texts.BY_KIND if kind_open else texts.MORE_POSSIBLE)


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
        yield names.language.say(
            texts.ANSWERED, values=_values(answers, names), outcome=_outcome(answers, names)
        )


def _values(answers: Answers, names: Names) -> str:
    values = [value_name(value, names) for value in answers.values]
    return ", ".join(values) if values else names.language.say(texts.NOT_KNOWN)


def _outcome(answers: Answers, names: Names) -> str:
    return names.language.say(texts.ENDS_AS[answers.outcome])


def _steps(answer: Answer, names: Names) -> Iterator[str]:
    for planned in answer.steps:
        procedure = planned.step.procedure
        by = by_whom(procedure.who, *procedure.minutes, names.language)
        yield f"{_condition(planned, names)}{step_sentence(planned, names)} ({by})"
    if answer.minutes:
        least, most = answer.minutes
        yield names.language.say(
            texts.MINUTES if answer.steps else texts.DEALER_DOES, least=str(least), most=str(most)
        )


def _condition(planned: PlannedStep, names: Names) -> str:
    if planned.condition is None:
        return ""
    fact, values = planned.condition
    asked = question_name(fact, names)
    if not values:
        return names.language.say(texts.ONLY_IF_OTHERS, fact=asked) + " "
    either = names.language.either(value_name(value, names) for value in values)
    return names.language.say(texts.ONLY_IF, fact=asked, values=either) + " "


def _capabilities(compared: Comparison | None, names: Names) -> Iterator[str]:
    """What changes, and what stands in the way of the rest. A unit that does not run is told in one line."""
    if compared is None or not compared.after:
        return
    why = _nothing_works(compared)
    if why:
        yield names.language.say(texts.NOTHING, why=blocker_phrase(why, names))
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
        return [texts.GAINED if capability in gained else texts.MAY_GAIN]
    return [texts.LOST if lost[capability] else texts.MAY_LOSE] if capability in lost else []


def _amount(ability: Ability, names: Names) -> str:
    if ability.is_count:
        least, most = str(ability.least), str(ability.most)
        return most if least == most else names.language.say(texts.FROM_TO, least=least, most=most)
    return names.language.say({"yes": texts.YES, "no": texts.NO, "unknown": texts.UNKNOWN}[ability.value])
