"""When something was made: from the years and the finer parts that a serial may mean to intervals."""

from __future__ import annotations

import calendar
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from functools import lru_cache

from service.domain.serials.fields import FieldKind, Value

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
def interval(kinds: tuple[FieldKind, ...], *numbers: int) -> Interval | None:
    """The days that year, week … name; None where the calendar has no such day or week.

    Source: ISO 8601 for weeks (a year has a week 53 or has not), through `datetime.date`.

    >>> interval((FieldKind.YEAR, FieldKind.WEEK), 2026, 53)
    (datetime.date(2026, 12, 28), datetime.date(2027, 1, 3))
    >>> interval((FieldKind.YEAR, FieldKind.WEEK), 2021, 53) is None
    True
    """
    try:
        return _INTERVALS[kinds](*numbers)
    except ValueError:
        return None


def by_year(
    kinds: tuple[FieldKind, ...], years: Iterable[Value], rest: Sequence[int]
) -> Mapping[int, Interval]:
    """For each year that has such days, those days."""
    found = ((year, interval(kinds, year, *rest)) for year in sorted(map(int, years)))
    return {year: days for year, days in found if days is not None}
