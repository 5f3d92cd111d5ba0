"""Where there is no plan, a smallest set of facts that rules it out.

The facts are needs and limits of releases, and the versions wanted. Those of an explanation, all other facts
left out, leave no plan; with any one of them left out too there is one. So each of them is a part of the
reason, and whoever can mend one of them has done away with this reason; there may be others. Which boards are
let off on the way (`problem`) is a matter of what is on them now, and stays as it is.

The method is a search by halves (Junker, QuickXplain, AAAI 2004, from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from service.domain.software.blocks import pruned
from service.domain.software.compiling import compiled
from service.domain.software.facts import Fact, facts
from service.domain.software.problem import at_odds
from service.domain.software.sequences import case_of, is_possible, starts
from service.domain.software.task import Task

Rules = Callable[[Sequence[Fact]], bool]


def why_not(task: Task) -> tuple[Fact, ...]:
    """A smallest set of facts that leaves no plan, in the order of `facts`.

    Raises ValueError where there is a plan or where what is on the boards is open, and BoundExceeded where
    nobody knows of some of the facts whether they leave a plan.
    """
    if any(len(board.may_carry) > 1 for board in task.boards):
        raise ValueError("what is on the boards is open: ask for each case by itself")
    every = tuple(facts(task))
    rules_out = _rule(task, every)
    if not rules_out(every):
        raise ValueError("there is a plan: nothing rules it out")
    found = set(_needed(rules_out, (), every, given_new=False))
    return tuple(fact for fact in every if fact in found)


def _rule(task: Task, every: Sequence[Fact]) -> Rules:
    """Whether there is no plan if only these facts hold."""
    problem = compiled(task)
    (start,) = starts(problem)
    odd = at_odds(problem, start)

    def rules_out(held: Sequence[Fact]) -> bool:
        lifted = set(every).difference(held)
        return not is_possible(case_of(pruned(compiled(task, lifted)), start, odd), start)

    return rules_out


def _needed(
    rules_out: Rules, given: tuple[Fact, ...], doubtful: tuple[Fact, ...], *, given_new: bool
) -> tuple[Fact, ...]:
    """Of the doubtful facts those that are needed beside the given ones to leave no plan.

    `given_new`: the given have grown since they were last seen to leave a plan.
    """
    if given_new and rules_out(given):
        return ()
    if len(doubtful) == 1:
        return doubtful
    half = len(doubtful) // 2
    first, second = doubtful[:half], doubtful[half:]
    of_second = _needed(rules_out, given + first, second, given_new=bool(first))
    of_first = _needed(rules_out, given + of_second, first, given_new=bool(of_second))
    return of_first + of_second
