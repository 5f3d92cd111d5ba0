"""The format's limits are real: a catalogue of 5,000 parts and 500 models is read, one more is refused."""

from __future__ import annotations

from functools import cache
from typing import Any

from service.papers import canonical_document, check, load_document, read_catalogue
from tests.papers.documents import SMALL_DATA, as_json


@cache
def large(parts: int, models: int) -> str:
    """A document of that many parts and models: chains of three parts, over ten models each."""
    bee = SMALL_DATA["models"]["bee"]
    extra = {f"bee-{n}": {**bee, "name": f"Bee {n}"} for n in range(models - 3)}
    listed = list(extra)
    made: list[dict[str, Any]] = []
    for n in range(parts - 4):
        part: dict[str, Any] = {
            "number": f"L-{n + 2}",
            "name": "lamp",
            "role": "lamp",
            "printed": [f"Y{n}"],
            "price": "1.50",
        }
        part["fits"] = [
            {"models": [listed[(n + k) % len(listed)] for k in range(10)], "date_before": "2020-01-01"}
        ]
        part["replaces"] = [{"part": f"L-{n + 1}"}] if n % 3 else []
        made.append(part)
    data = {**SMALL_DATA, "models": {**SMALL_DATA["models"], **extra}}
    main, *others = SMALL_DATA["parts"]
    main = {**main, "fits": [{"models": ["ant", "bee", *listed]}]}
    panel = {**others[0], "fits": [*others[0]["fits"], {"models": listed}]}
    return as_json({**data, "parts": [main, panel, *others[1:], *made]})


def test_the_largest_is_read() -> None:
    text = large(5_000, 500)
    catalogue = read_catalogue(text)
    assert (len(catalogue.parts), len(catalogue.models)) == (5_000, 500)
    assert load_document(canonical_document(text)) == catalogue


def test_one_more_is_refused() -> None:
    assert [fault.code for fault in check(large(5_001, 500))] == ["wrong_count"]
    assert [fault.code for fault in check(large(50, 501))] == ["wrong_count"]
