"""Weeks and dates in serials, against the calendar. Source: ISO 8601."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from service.domain.serials import (
    Decoded,
    Scheme,
    Unreadable,
    UnreadableCause,
    decode,
    make,
    scheme_from_document,
)
from tests.serials.published import decoded, rows, scheme, unreadable

LONG_YEARS = {
    2004,
    2009,
    2015,
    2020,
    2026,
    2032,
    2037,
    2043,
    2048,
    2054,
    2060,
    2065,
    2071,
    2076,
    2082,
    2088,
    2093,
    2099,
}
"""The years from 2000 to 2100 that have a week 53, computed with datetime and confirmed with isoweek."""

WEEK_DATE = scheme_from_document(
    {
        "id": "week-date",
        "name": "ISO week date",
        "subject": "unit",
        "alphabet": "digits",
        "fields": [
            {"name": "year", "kind": "year", "length": 4, "years": {"from": 1970, "to": 2100}},
            {"name": "week", "kind": "week"},
            {"name": "weekday", "kind": "weekday"},
        ],
        "made": ["year", "week", "weekday"],
        "order": ["year", "week", "weekday"],
    }
)


def read(text: str, by: Scheme = WEEK_DATE) -> Decoded | Unreadable:
    return decode((by,), by.subject, text)


def test_each_week_date_is_its_day() -> None:
    edges = rows("iso_week_edges")
    readings = {day: read(week_date.replace("W", "")) for day, week_date in edges}
    made = {day: reading.made for day, reading in readings.items() if isinstance(reading, Decoded)}
    assert len(edges) == 520
    assert made == {day: ((date.fromisoformat(day),) * 2,) for day, _ in edges}


@pytest.mark.parametrize("text", ["2021-53-1", "2020-54-1", "2020-00-1", "2020-01-0", "2020-01-8"])
def test_a_week_or_weekday_that_is_none_is_refused(text: str) -> None:
    reading = read(text)
    assert isinstance(reading, Unreadable)
    assert reading.cause is UnreadableCause.FIELD


def test_only_long_years_have_a_week_53() -> None:
    readable = {year for year in range(2000, 2101) if isinstance(read(f"{year}531"), Decoded)}
    assert readable == LONG_YEARS


def test_the_order_of_serials_is_the_order_of_days() -> None:
    days = [date(1999, 12, 20) + timedelta(days=each) for each in range(800)]
    keys: list[tuple[int | str, ...]] = []
    for day in days:
        reading = read("{:04d}{:02d}{}".format(*day.isocalendar()))
        assert isinstance(reading, Decoded)
        keys += reading.order_keys
    assert keys == sorted(keys)
    assert len(set(keys)) == len(days)


def test_a_week_53_settles_which_of_several_years_is_meant() -> None:
    # The scheme writes the last digit of the years 2012 to 2031: of 2016 and 2026 one has a week 53.
    text = make(scheme("yard_unit"), {"product": "W4", "year": 2026, "week": 53, "number": 7})
    reading = decoded("yard_unit", text)
    assert reading.fields["year"] == {2026}
    assert reading.order_keys == {(2026, 53, 7)}
    assert reading.made == ((date(2026, 12, 28), date(2027, 1, 3)),)


def test_an_open_year_gives_an_interval_and_a_key_for_each() -> None:
    text = make(scheme("yard_unit"), {"product": "W4", "year": 2016, "week": 52, "number": 7})
    reading = decoded("yard_unit", text)
    assert reading.fields["year"] == {2016, 2026}
    assert reading.order_keys == {(2016, 52, 7), (2026, 52, 7)}
    assert reading.made == ((date(2016, 12, 26), date(2017, 1, 1)), (date(2026, 12, 21), date(2026, 12, 27)))


def test_a_day_that_no_month_has_is_refused_with_all_that_dates_it() -> None:
    # February is B; the years of code A, 2015 and 2025, have no 29 February, but 2016 (B) has one.
    wrong = unreadable("yard_board", "B41 AB29 001")
    assert (wrong.cause, wrong.field) == (UnreadableCause.FIELD, "day")
    assert (wrong.positions, wrong.found) == ((4, 5, 6, 7), "AB29")
    assert decoded("yard_board", "B41 BB29 001").made == ((date(2016, 2, 29),) * 2,)


@pytest.mark.parametrize(
    ("made", "days"),
    [
        (["year"], (date(2024, 1, 1), date(2024, 12, 31))),
        (["year", "month"], (date(2024, 2, 1), date(2024, 2, 29))),
        (["year", "month", "day"], (date(2024, 2, 9),) * 2),
        (["year", "week"], (date(2024, 2, 5), date(2024, 2, 11))),
    ],
)
def test_what_dates_a_serial_says_how_closely(made: list[str], days: tuple[date, date]) -> None:
    document = {
        "id": "all-kinds",
        "name": "all kinds of dates",
        "subject": "unit",
        "fields": [
            {"name": "year", "kind": "year", "length": 2, "years": {"from": 2000, "to": 2099}},
            {"name": "month", "kind": "month"},
            {"name": "day", "kind": "day"},
            {"name": "week", "kind": "week"},
        ],
        "made": made,
    }
    reading = read("24020906", scheme_from_document(document))
    assert isinstance(reading, Decoded)
    assert reading.made == (days,)
