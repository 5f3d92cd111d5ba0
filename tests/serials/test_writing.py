"""Making a serial refuses what its scheme cannot say."""

from __future__ import annotations

import pytest

from service.domain.serials import make
from tests.serials.published import scheme

VALUES: dict[str, int | str] = {"product": "W4", "year": 2024, "week": 15, "number": 1234}


@pytest.mark.parametrize(
    "wrong",
    [
        {"year": 2011},
        {"year": "4"},
        {"week": 0},
        {"week": 54},
        {"number": -1},
        {"number": 10_000},
        {"number": "1234"},
        {"product": "W"},
        {"product": "w4"},
        {"product": 44},
        {"check": "X"},
        {"maker": "YT"},
        # Neither 2024 nor 2014 has a week 53 (ISO 8601).
        {"week": 53},
    ],
    ids=str,
)
def test_a_value_that_cannot_stand_is_refused(wrong: dict[str, int | str]) -> None:
    with pytest.raises(ValueError, match=r"needed|cannot stand|dated"):
        make(scheme("yard_unit"), VALUES | wrong)


def test_a_missing_value_is_refused() -> None:
    with pytest.raises(ValueError, match="needed"):
        make(scheme("yard_unit"), {"product": "W4"})


def test_a_sequence_of_open_length_is_written_as_short_as_it_may() -> None:
    assert make(scheme("luhn"), {"body": "7992739871"}) == "79927398713"
    assert make(scheme("imei"), {"body": "49", "type": "015420", "number": 323751}) == "490154203237518"
