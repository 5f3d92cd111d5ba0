"""From the fields of a serial to models and parts."""

from __future__ import annotations

import pytest

from service.domain.serials import make
from tests.serials.published import decoded, scheme


@pytest.mark.parametrize(
    ("product", "year", "number", "models"),
    [
        ("W4", 2024, 1, {"wren-4"}),
        ("W8", 2024, 4999, {"wren-8"}),
        ("W8", 2024, 5000, {"wren-8-a"}),
        # The plate writes the last digit of the year: 2014 may be 2024, 2020 cannot be another before 2030.
        ("C1", 2024, 1, {"curlew-12", "curlew-20"}),
        ("C2", 2014, 1, {"curlew-12", "curlew-20"}),
        ("ZZ", 2024, 1, set()),
    ],
)
def test_models_of_a_unit(product: str, year: int, number: int, models: set[str]) -> None:
    serial = make(scheme("yard_unit"), {"product": product, "year": year, "week": 10, "number": number})
    reading = decoded("yard_unit", serial)
    assert reading.models == models
    assert reading.parts == frozenset()


def test_a_week_that_settles_the_year_settles_the_model() -> None:
    # Of 2015 and 2025 only 2015 has a week 53 (ISO 8601).
    serial = make(scheme("yard_unit"), {"product": "C1", "year": 2015, "week": 53, "number": 1})
    assert decoded("yard_unit", serial).models == {"curlew-12"}


@pytest.mark.parametrize(
    ("part", "month", "parts"),
    [
        ("41", 5, {"Y-4410"}),
        ("42", 3, {"Y-4420", "Y-4421", "Y-4499"}),
        ("42", 4, {"Y-4499"}),
        ("7X", 1, {"Y-4499"}),
    ],
)
def test_parts_of_a_board(part: str, month: int, parts: set[str]) -> None:
    values: dict[str, int | str] = {"part": part, "year": 2020, "month": month, "day": 9, "number": 77}
    reading = decoded("yard_board", make(scheme("yard_board"), values))
    assert reading.parts == parts
    assert reading.models == frozenset()


def test_a_scheme_without_a_table_names_nothing() -> None:
    reading = decoded("vin", "1M8GDM9AXKP042788")
    assert (reading.models, reading.parts, reading.order_keys, reading.made) == (
        frozenset(),
        frozenset(),
        frozenset(),
        (),
    )
