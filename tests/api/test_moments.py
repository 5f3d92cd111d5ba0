"""Moments and days as RFC 3339 has them."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from service.api.schemas.fields import Day, Moment

# RFC 3339 section 5.8, and valid ones of the JSON-Schema-Test-Suite (MIT), draft 2020-12,
# optional/format/date-time.json.
VALID = {
    "1985-04-12T23:20:50.52Z": datetime(1985, 4, 12, 23, 20, 50, 520000, UTC),
    "1996-12-19T16:39:57-08:00": datetime(1996, 12, 20, 0, 39, 57, tzinfo=UTC),
    "1990-12-31T23:59:60Z": datetime(1990, 12, 31, 23, 59, 59, 999999, UTC),
    "1990-12-31T15:59:60-08:00": datetime(1990, 12, 31, 23, 59, 59, 999999, UTC),
    "1937-01-01T12:00:27.87+00:20": datetime(1937, 1, 1, 11, 40, 27, 870000, UTC),
    "1998-12-31T15:59:60.123-08:00": datetime(1998, 12, 31, 23, 59, 59, 999999, UTC),
    "1963-06-19t08:30:06.283185z": datetime(1963, 6, 19, 8, 30, 6, 283185, UTC),
    "1985-04-12T00:59:59.999999999999999Z": datetime(1985, 4, 12, 0, 59, 59, 999999, UTC),
    "2024-02-29T00:00:00+23:59": datetime(2024, 2, 28, 0, 1, tzinfo=UTC),
}


@pytest.mark.parametrize(("text", "moment"), VALID.items())
def test_a_valid_moment_is_read_into_utc(text: str, moment: datetime) -> None:
    read = Moment().deserialize(text)
    assert read == moment
    assert read.utcoffset() == moment.utcoffset()


@pytest.mark.parametrize("text", ["0400-02-29", "2024-02-29", "2000-02-29", "9999-12-31"])
def test_a_valid_day_is_read(text: str) -> None:
    assert Day().deserialize(text).isoformat() == text
