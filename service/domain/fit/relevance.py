"""Which facts matter: fixing the fact, alone or with the fewest others, can change the set of outcomes."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations, product

from service.domain.fit.table import Fixed, Table
from service.domain.fit.worlds import BoundExceeded

MAX_TRIES = 5_000
"""At most so many value combinations are tried for facts that matter only together."""


def relevant(table: Table, fixed: Fixed, among: Collection[str]) -> list[str]:
    """The relevant facts among these, given what is fixed, in order of name.

    Facts that matter alone where there are any; else those of the smallest sets that matter together.
    Empty when the outcome is settled, or when none of these facts can change it. Raises BoundExceeded.
    """
    now = table.outcomes(fixed)
    if now & (now - 1) == 0:
        return []
    free = [fact for fact in table.facts if fact in among and fact not in fixed]
    tries = iter(range(MAX_TRIES))
    for size in range(1, len(free) + 1):
        found = {
            fact
            for group in combinations(free, size)
            if _changes(table, fixed, group, now, tries)
            for fact in group
        }
        if found:
            return sorted(found)
    return []


def _changes(table: Table, fixed: Fixed, group: tuple[str, ...], now: int, tries: Iterator[int]) -> bool:
    for values in product(*(table.distinct[fact] for fact in group)):
        if len(group) > 1 and next(tries, None) is None:
            raise BoundExceeded
        then = table.outcomes({**fixed, **dict(zip(group, values, strict=True))})
        if then not in (0, now):
            return True
    return False
