"""Many tills go through with one check at once: one of them sells the board, and the others are told."""

from __future__ import annotations

from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from sqlalchemy import Engine

from service.api.calling import EXTENSION
from service.api.present.sale import receipt
from service.api.selling import read_again
from service.store.engine import reading
from service.store.ledger import events_after
from service.usecases.caller import Caller, Scope
from service.usecases.repeats import Repeat
from service.usecases.sale import Completion, SoldMeanwhile, complete
from tests.sale.tills import BOARD, Till, opened
from tests.support.databases import DATABASES, fresh
from tests.support.databases import opened as engine_of

AT_ONCE = 20
PATIENCE = 60
"""Seconds after which a till that does not start is a fault of the test."""


def came_of(till: Till, number: int, repeat: str = "") -> list[str]:
    """What each of so many completions of one check came to, all started at the same moment."""
    check = till.check()
    accepted = [each["code"] for each in check["conditions"]]
    shop, start = till.client.application.extensions[EXTENSION], Barrier(number)
    seller = Caller(scopes=frozenset({Scope.SELL}), owner="till")

    def sell(which: int) -> str:
        asked = Repeat(method="POST", path="/completion", key=repeat or f"till-{which:06d}", fingerprint="f")
        start.wait(PATIENCE)
        try:
            told = complete(
                shop, seller, asked, Completion(check=check["id"], accepted=accepted), read_again, receipt
            )
        except SoldMeanwhile:
            return "sold meanwhile"
        return f"{'replayed' if told.replayed else 'sold'} by {told.data['completed']['seq']}"

    with ThreadPoolExecutor(number) as pool:
        return list(pool.map(sell, range(number)))


def sales(till: Till) -> list[int]:
    with reading(till.engine) as connection:
        events = events_after(connection, 0, limit=10_000)
    return [event.seq for event in events if event.kind == "sold" and event.data["board"] == BOARD]


def one_sells(till: Till, number: int) -> None:
    outcomes = Counter(came_of(till, number))
    (seq,) = sales(till)
    assert outcomes == {f"sold by {seq}": 1, "sold meanwhile": number - 1}


def test_one_of_many_sells(till: Till) -> None:
    one_sells(till, AT_ONCE)


def test_one_request_sent_many_times_sells_once_and_all_are_told_so(till: Till) -> None:
    outcomes = Counter(came_of(till, AT_ONCE, repeat="one-and-the-same"))
    (seq,) = sales(till)
    assert outcomes == {f"sold by {seq}": 1, f"replayed by {seq}": AT_ONCE - 1}


@pytest.mark.deep
@pytest.mark.parametrize("kind", DATABASES)
def test_of_two_hundred_one_sells(
    request: pytest.FixtureRequest, kind: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    with fresh(request, kind, tmp_path_factory.mktemp("tills")) as url, engine_of(url) as engine:
        _two_hundred(engine)


def _two_hundred(engine: Engine) -> None:
    with opened(engine) as till:
        one_sells(till, 200)
