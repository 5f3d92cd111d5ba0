"""Destinations of a board: the units that wait, page by page, from few statements however many there are."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine, event

from service.domain.ledger.event import Draft
from service.domain.terms import Outcome
from service.store.vacancies import Vacancy
from service.usecases.caller import STAFF
from service.usecases.destinations import Destinations, destinations
from tests.ledger.telling import AT_MAIN, AT_PANEL, draft
from tests.lookups.shelf import shop_on
from tests.store.ledgers import tell

BLANK, FOREIGN = "B00001", "B00002"
WAITING = [f"U{number:04}" for number in (3, 5, 11, 42, 77)]


def a_workshop() -> Iterator[Draft]:
    """Five Herons that wait for a main board, one for a panel, one that is no more, and two boards."""
    for unit in (*WAITING, "U0050", "U0060"):
        yield draft("registered", unit=unit, model="heron", market="home")
    for unit in (*WAITING, "U0060"):
        yield draft("removed", board=f"B9{unit[1:]}", unit=unit, **AT_MAIN)
    yield draft("removed", board="B80050", unit="U0050", **AT_PANEL)
    yield draft("dismantled", unit="U0060")
    yield draft("received", board=BLANK, part="MA", binding="blank")
    yield draft("received", board=FOREIGN, part="MA", binding="bound", bound_model="egret")


def where(engine: Engine, board: str, size: int = 100, after: Vacancy | None = None) -> Destinations:
    return destinations(shop_on(engine), STAFF, board, market=None, size=size, after=after)


@pytest.mark.parametrize("size", [1, 2, 5, 100])
def test_the_pages_of_units_hold_each_that_waits_once(engine: Engine, size: int) -> None:
    tell(engine, *a_workshop())
    seen: list[str] = []
    page = where(engine, BLANK, size)
    while True:
        assert len(page.units) <= size
        assert list(page.models), "the models are whole on every page"
        seen += [vacancy.unit for vacancy in page.units]
        if page.last is None:
            break
        page = where(engine, BLANK, size, page.last)
    assert seen == WAITING


def test_each_unit_and_model_has_its_own_answer(sqlite_engine: Engine) -> None:
    tell(sqlite_engine, *a_workshop())
    blank, foreign = where(sqlite_engine, BLANK), where(sqlite_engine, FOREIGN)
    assert {answer.outcome for answer in blank.units.values()} == {Outcome.FITS_WITH_PROGRAMMING}
    assert {answer.outcome for answer in foreign.units.values()} == {Outcome.DOES_NOT_FIT}
    # Whose serial it holds nobody has read, so that even its own model is not sure; the others surely are.
    assert list(foreign.models) == ["egret", "heron", "stork"]
    assert list(blank.models) == ["heron", "egret", "stork"]


def test_a_place_that_the_catalogue_no_longer_has_is_nothing_to_go_into(sqlite_engine: Engine) -> None:
    lost = {"role": "main", "place": "attic", "policy": "names"}
    tell(sqlite_engine, *a_workshop(), draft("removed", board="B70003", unit="U0003", **lost))
    assert [vacancy.unit for vacancy in where(sqlite_engine, BLANK).units] == WAITING


@pytest.mark.parametrize("size", [1, 100])
def test_a_page_takes_the_same_few_statements_whatever_its_size(sqlite_engine: Engine, size: int) -> None:
    tell(sqlite_engine, *a_workshop())
    sent: list[str] = []
    event.listen(sqlite_engine, "before_cursor_execute", lambda *told: sent.append(str(told[2])))
    where(sqlite_engine, BLANK, size)
    assert len(sent) == 3, "the board, the units that wait, and one gather for all answers"
