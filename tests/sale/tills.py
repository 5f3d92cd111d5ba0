"""A till of the tests: the app on a fresh database with the demo's catalogue and a few boards of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from itertools import count
from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import Engine, func, select
from werkzeug.test import TestResponse

from service.api.calling import EXTENSION
from service.demo import serials as s
from service.demo.world import demo_catalogue
from service.papers import canonical_document, read_catalogue
from service.settings import Settings
from service.store import revisions
from service.store.append import append
from service.store.engine import reading, writing
from service.store.tables import EVENTS, SALE_CHECKS
from service.usecases.caller import Scope
from tests.ledger.telling import draft
from tests.support.keys import a_key, bearer, keyed_app

BOARD, UNIT, DONOR = s.USED_MAIN_40, s.CUSTOMER_PLOVER_40, s.DONOR_PLOVER_40
"""A used main board, the machine of the same model that it is for, and the one that it came out of."""
SETTINGS = Settings(catalogue_check_seconds=0, key_check_seconds=0)
"""A catalogue that is published is in force at once, and a key that is made is known."""
PLACED = {"role": "main", "policy": "names"}

MAIN = {"board": BOARD, **PLACED, "part": "MN-4100", "binding": "bound", "bound_model": "plover-40"}
THE_DAY_BEFORE = [
    draft("registered", unit=DONOR, model="plover-40", market="mainland", boards=[{**MAIN, "holds": DONOR}]),
    draft("removed", board=BOARD, unit=DONOR, **PLACED),
    draft("dismantled", unit=DONOR),
    draft("tested", board=BOARD, passed=True),
    draft("registered", unit=UNIT, model="plover-40", market="mainland"),
]
"""What happened in the shop before anybody asks."""


@cache
def read(text: str) -> tuple[str, str]:
    """The document of a catalogue, and its revision."""
    return canonical_document(text), read_catalogue(text).revision


@dataclass(slots=True)
class Till:
    """A client with a key of its own, which sends a new Idempotency-Key each time."""

    engine: Engine
    client: FlaskClient
    key: str
    numbers: count[int] = field(default_factory=lambda: count(1))

    def post(self, path: str, body: Any, *, repeat: str | None = None, **headers: str) -> TestResponse:
        sent = {
            "Idempotency-Key": repeat or f"the-till-{next(self.numbers):06d}",
            **bearer(self.key),
            **headers,
        }
        return self.client.post(path, json=body, headers=sent)

    def get(self, path: str) -> TestResponse:
        return self.client.get(path, headers=bearer(self.key))

    def check(self, **question: Any) -> dict[str, Any]:
        """A check of the used main board for the customer's machine, or of what is asked instead."""
        asked = {"board": {"serial": BOARD}, "unit": {"serial": UNIT}, **question}
        response = self.post("/v1/sale-checks", asked)
        assert response.status_code == 201, response.get_json()
        answer: dict[str, Any] = response.get_json()
        return answer

    def complete(self, check: Mapping[str, Any], **more: Any) -> TestResponse:
        """Go through with it, every condition accepted."""
        accepted = {"accepted": [each["code"] for each in check["conditions"]]}
        return self.post(f"/v1/sale-checks/{check['id']}/completion", {**accepted, **more})

    def tell(self, kind: str, **data: Any) -> None:
        """Something happens in the shop."""
        with writing(self.engine) as connection:
            append(connection, [draft(kind, **data)])

    def publish(self, old: str = "", new: str = "") -> None:
        """The demo's catalogue is published, with one text of it changed."""
        text = demo_catalogue()
        assert not old or text.count(old) == 1, f"{text.count(old)} times: {old}"
        document, revision = read(text.replace(old, new) if old else text)
        with writing(self.engine) as connection:
            revisions.publish(connection, document, revision)

    def rows(self) -> tuple[int, int]:
        """How many events and how many kept checks there are."""
        with reading(self.engine) as connection:
            events, checks = (
                connection.execute(select(func.count()).select_from(table)).scalar_one()
                for table in (EVENTS, SALE_CHECKS)
            )
        return events, checks


@contextmanager
def opened(engine: Engine, settings: Settings = SETTINGS) -> Iterator[Till]:
    """A till in a shop where a machine was dismantled and its main board tested."""
    app = keyed_app(engine, settings)
    till = Till(engine, app.test_client(), a_key(engine, Scope.SELL, owner="till"))
    till.publish()
    with writing(engine) as connection:
        append(connection, THE_DAY_BEFORE)
    yield till
    app.extensions[EXTENSION].reader.close()


def other_till(till: Till, *scopes: Scope, owner: str) -> Till:
    """Another key on the same app."""
    return Till(till.engine, till.client, a_key(till.engine, *scopes, owner=owner), till.numbers)
