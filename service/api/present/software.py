"""The answer to a question about software as plain values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.api.present.answer import minutes, place
from service.api.present.wording import Wording
from service.domain.loading.courses import Course
from service.domain.loading.planning import Group, LoadingOutcome, outcome_of
from service.domain.place import Place
from service.domain.software.facts import Fact
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import Load
from service.domain.software.ranges import Range, exactly
from service.domain.software.task import Carried
from service.domain.software.versions import parse_version
from service.domain.terms import Cause, Means, RoleId
from service.usecases.software import SoftwarePlanned
from service.words import software as words
from service.words.questions import question_about
from service.words.software_facts import fact_sentence, range_of


def software_plan(of: SoftwarePlanned, wording: Wording) -> dict[str, Any]:
    """The answer, most telling first."""
    return _Presented(of, wording).answer()


class _Presented:
    """One answer in one language."""

    def __init__(self, of: SoftwarePlanned, wording: Wording) -> None:
        self.of = of
        self.names = wording.names
        self.models = sorted(of.case.unit.model.values or ())
        self.wanted: Mapping[RoleId, Range] = {
            role: exactly(parse_version(text)) for role, text in of.question.wanted.items()
        }

    def answer(self) -> dict[str, Any]:
        answer, unit = self.of.answer, self.of.case.unit
        return {
            "outcome": answer.outcome.value,
            "summary": words.software_summary(answer, self.models, self.wanted, self.names),
            "unit": {
                **({"serial": unit.serial} if unit.serial else {}),
                "recorded": unit.record is not None,
                "models": self.models,
            },
            "goal": self.of.question.aim.value,
            "target": _target(answer.target),
            "steps": self.steps(answer.loads, answer.before),
            "cases": [self.case(group, each) for group in answer.open_groups for each in group.courses],
            "reasons": [self.reason(each) for each in answer.why_not],
            "who": [each.value for each in answer.who],
            "minutes": minutes(answer.minutes) if answer.minutes is not None else None,
            "left_out": list(answer.left_out),
            "bound_exceeded": self.bound_exceeded(),
            **({"cause": answer.cause.value} if answer.cause else {}),
            "ask": self.ask(),
            "catalogue_revision": self.of.compiled.catalogue.revision,
        }

    def steps(
        self, loads: Sequence[Load], before: Mapping[Place, frozenset[Carried]]
    ) -> list[dict[str, Any]]:
        """The loads as the bench is told them; a customer is told none."""
        if self.of.question.means is Means.CUSTOMER:
            return []
        on = {where: next(iter(may)) for where, may in before.items() if len(may) == 1}
        shown = []
        for load in loads:
            shown.append(self.load(load, on.get(load.place)))
            on[load.place] = load.version
        return shown

    def load(self, load: Load, over: Carried) -> dict[str, Any]:
        return {
            **place(load.place),
            **({"over": str(over)} if over is not None else {}),
            "release": str(load.version),
            "text": words.load_sentence(load.place, over, load.version, self.names),
        }

    def case(self, group: Group, course: Course) -> dict[str, Any]:
        return {
            "boards": list(group.roles),
            "when": [{fact: list(values) for fact, values in when.items()} for when in course.when],
            "text": words.case_text(
                course.when, done=outcome_of(course) is LoadingOutcome.NOTHING_TO_DO, names=self.names
            ),
            "outcome": outcome_of(course).value,
            "target": _target(course.target) if course.outcome is PlanOutcome.PLAN else [],
            "steps": self.steps(course.loads, course.before),
            "reasons": [self.reason(each) for each in course.why_not],
        }

    def reason(self, fact: Fact) -> dict[str, Any]:
        return {
            "code": fact.kind.value,
            "facts": dict(self.facts(fact)),
            "text": fact_sentence(fact, self.wanted, self.models, self.names),
        }

    def facts(self, fact: Fact) -> Iterator[tuple[str, str]]:
        yield "role", fact.role
        if fact.version is not None:
            yield "release", str(fact.version)
        if fact.other is not None:
            yield "other", fact.other
        span = range_of(fact, self.of.compiled.catalogue.software, self.wanted)
        if span is not None:
            yield "range", str(span)

    def bound_exceeded(self) -> bool:
        courses = (course for group in self.of.answer.groups for course in group.courses)
        exceeded = any(course.outcome is PlanOutcome.BOUND_EXCEEDED for course in courses)
        return exceeded or self.of.answer.cause is Cause.BOUND_EXCEEDED

    def ask(self) -> dict[str, str] | None:
        """What to find out first; a customer is not asked for what takes opening the machine."""
        customer = self.of.question.means is Means.CUSTOMER
        facts = [f for f in self.of.answer.open_facts if not customer or f.startswith("unit.")]
        if not facts:
            return None
        return {"fact": facts[0], "question": question_about(facts[0], self.names)}


def _target(target: Mapping[Place, Carried]) -> list[dict[str, str]]:
    return [
        {**place(where), "release": str(version)} for where, version in target.items() if version is not None
    ]
