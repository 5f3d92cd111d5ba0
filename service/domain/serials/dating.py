"""When something was made: from the years and the finer parts that a serial may mean to intervals."""

from __future__ import annotations

import calendar
from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache

from service.domain.serials.fields import FieldKind, Value, Values

Interval = tuple[date, date]
"""First and last day, both inclusive."""

_YEAR, _WEEK = (FieldKind.YEAR,), (FieldKind.YEAR, FieldKind.WEEK)
_MONTH = (FieldKind.YEAR, FieldKind.MONTH)


def _days_of_year(year: int) -> Interval:
    return date(year, 1, 1), date(year, 12, 31)


def _days_of_week(year: int, week: int) -> Interval:
    return date.fromisocalendar(year, week, 1), date.fromisocalendar(year, week, 7)


def _day_of_week(year: int, week: int, weekday: int) -> Interval:
    return (date.fromisocalendar(year, week, weekday),) * 2


def _days_of_month(year: int, month: int) -> Interval:
    return date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1])


def _day_of_month(year: int, month: int, day: int) -> Interval:
    return (date(year, month, day),) * 2


_INTERVALS: Mapping[tuple[FieldKind, ...], Callable[..., Interval]] = {
    _YEAR: _days_of_year,
    _WEEK: _days_of_week,
    (*_WEEK, FieldKind.WEEKDAY): _day_of_week,
    _MONTH: _days_of_month,
    (*_MONTH, FieldKind.DAY): _day_of_month,
}

DATED_BY: frozenset[tuple[FieldKind, ...]] = frozenset(_INTERVALS)
"""The kinds of fields, in this order, that together say when something was made."""


@lru_cache(maxsize=4096)
def intervals(
    kinds: tuple[FieldKind, ...], years: Values, finer: tuple[Value, ...]
) -> tuple[Values, tuple[Interval, ...]]:
    """The years that have such a week or day, and for each of them, earliest first, those days.

    `finer` are the numbers that `kinds` asks for after the year. Source: ISO 8601 for weeks (a
    year has a week 53 or has not), through `datetime.date`.

    >>> intervals((FieldKind.YEAR, FieldKind.WEEK), frozenset({2021, 2026}), (53,))
    (frozenset({2026}), ((datetime.date(2026, 12, 28), datetime.date(2027, 1, 3)),))
    """
    found = {year: _interval(kinds, year, *finer) for year in sorted(map(int, years))}
    days = {year: each for year, each in found.items() if each is not None}
    return frozenset(days), tuple(days.values())


def _interval(kinds: tuple[FieldKind, ...], *numbers: Value) -> Interval | None:
    try:
        return _INTERVALS[kinds](*numbers)
    except ValueError:
        # The calendar has no such week or day in this year.
        return None
