"""It asks back: the next question, what each answer would mean, and the whole chain on demand.

The question is the relevant, findable fact after which the fewest facts stay relevant in the worst
answer, then least effort for this caller's means, then name. Every answer removes a relevant fact,
so the chain ends within the number of open facts.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from service.domain.fit.effort import effort
from service.domain.fit.ranks import SCOPE_MASK, TOOL_MASK, YES_MASK
from service.domain.fit.relevance import relevant
from service.domain.fit.table import Fixed, Table
from service.domain.fit.worlds import BoundExceeded
from service.domain.terms import Means, Outcome

MAX_QUESTIONS = 200
"""At most so many questions in one chain; past it `then` is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """Answers to a question that lead to the same outcome."""

    values: tuple[str, ...]
    """Empty: "can't find out"."""
    outcome: Outcome
    then: Ask | None = None
    """The next question after these answers, where the whole chain was asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One question back to the caller."""

    fact: str
    answers: tuple[Answers, ...]


@dataclass(slots=True)
class Asker:
    """Asks about one table. `findable` are the facts that this caller can find out."""

    table: Table
    means: Means
    proposed: Collection[str]
    """Names of the places of proposed boards."""
    findable: frozenset[str]
    left: int = MAX_QUESTIONS

    def next(self, fixed: Fixed | None = None, given_up: frozenset[str] = frozenset()) -> str | None:
        """The fact to ask for next; None where no set of findable facts changes the outcome."""
        fixed = fixed or {}
        among = self.findable - given_up
        chosen, least = None, len(among) + 1
        for fact in sorted(relevant(self.table, fixed, among), key=self._effort):
            worst = self._worst(fact, fixed, among, least)
            if worst < least:
                chosen, least = fact, worst
        return chosen

    def ask(
        self, *, chain: bool, fixed: Fixed | None = None, given_up: frozenset[str] = frozenset()
    ) -> Ask | None:
        """The next question with the outcome of each answer."""
        fixed = fixed or {}
        fact = self.next(fixed, given_up)
        if fact is None or self.left <= 0:
            return None
        self.left -= 1
        groups: dict[tuple[Outcome, Ask | None], list[str]] = {}
        for value in self.table.facts[fact]:
            then = {**fixed, fact: value}
            mask = self.table.outcomes(then)
            if mask:
                following = self.ask(chain=True, fixed=then, given_up=given_up) if chain else None
                groups.setdefault((outcome_of(mask), following), []).append(value)
        answers = [Answers(values=tuple(v), outcome=o, then=t) for (o, t), v in groups.items()]
        unknown = self.ask(chain=True, fixed=fixed, given_up=given_up | {fact}) if chain else None
        answers.append(Answers(values=(), outcome=outcome_of(self.table.outcomes(fixed)), then=unknown))
        return Ask(fact=fact, answers=tuple(answers))

    def _effort(self, fact: str) -> tuple[int, str]:
        return effort(fact, self.means, self.proposed) or 0, fact

    def _left(self, fixed: Fixed, among: frozenset[str]) -> int:
        """How many facts stay relevant; all of them where telling would take too long."""
        try:
            return len(relevant(self.table, fixed, among))
        except BoundExceeded:
            return len(among)

    def _worst(self, fact: str, fixed: Fixed, among: frozenset[str], enough: int) -> int:
        """How many facts stay relevant after the worst answer; no need to go on once `enough` is reached."""
        worst = 0
        for value in self.table.distinct[fact]:
            worst = max(worst, self._left({**fixed, fact: value}, among))
            if worst >= enough:
                break
        return worst


def outcome_of(mask: int) -> Outcome:
    """The view of a set of outcomes (`Table.outcomes`)."""
    if mask == 1:
        return Outcome.DOES_NOT_FIT
    if mask & 1 or mask & SCOPE_MASK or not mask & YES_MASK:
        return Outcome.CANNOT_TELL
    return Outcome.FITS_WITH_PROGRAMMING if mask & TOOL_MASK else Outcome.FITS
