"""What one owner stored is not there for another, whatever their keys are good for (OWASP API1, API3).

Two tables: what is private to its owner, by the operation that makes it; and whom the first answers to
repeated requests belong to. Each is held complete against the app's own addresses and document.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine
from werkzeug.test import TestResponse

from service.api.app import described
from service.api.calling import EXTENSION
from service.demo import serials as s
from service.usecases.caller import Scope
from service.wiring import app_on
from tests.access.conftest import ALERT
from tests.api.problem_shape import problem_of
from tests.support.keys import a_key, bearer, without_key

Headers = dict[str, str]
_NUMBERS = count(1)


@pytest.fixture
def app(world: Engine) -> Iterator[Flask]:
    """On a copy of the demo's world, on each database: these tests store."""
    found = app_on(world, ALERT)
    yield found
    found.extensions[EXTENSION].reader.close()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return without_key(app)


@pytest.fixture
def keys(world: Engine) -> Callable[..., Headers]:
    """Makes a key: `keys("till", Scope.SELL)`."""
    return lambda owner, *scopes: bearer(a_key(world, *scopes, owner=owner))


@dataclass(frozen=True, slots=True)
class Storing:
    """A call that stores something."""

    target: str
    body: Mapping[str, Any]
    scope: Scope

    def send(self, client: FlaskClient, headers: Headers, key: str | None = None) -> TestResponse:
        """Send it, with a new Idempotency-Key unless one is given."""
        sent = {**headers, "Idempotency-Key": key or f"owners-{next(_NUMBERS):04d}"}
        return client.post(self.target, json=self.body, headers=sent)


SALE_CHECK = Storing(
    "/v1/sale-checks",
    {"board": {"serial": s.BLANK_MAIN}, "unit": {"serial": s.CUSTOMER_PLOVER_40}},
    Scope.SELL,
)
TESTED = Storing(
    "/v1/events",
    {"events": [{"kind": "tested", "data": {"board": s.USED_MAIN_60, "passed": True}}]},
    Scope.RECORD,
)


@dataclass(frozen=True, slots=True)
class Private:
    """Something that its owner alone can reach."""

    made_by: Storing
    reached: Mapping[str, Callable[[FlaskClient, str, Headers], TestResponse]]
    """By operation: a call that reaches it by its address."""


def _complete(client: FlaskClient, address: str, headers: Headers) -> TestResponse:
    return Storing(f"{address}/completion", {"accepted": []}, Scope.SELL).send(client, headers)


PRIVATE = {
    "check_sale": Private(
        SALE_CHECK,
        {
            "get_sale_check": lambda client, address, headers: client.get(address, headers=headers),
            "complete_sale": _complete,
        },
    )
}
"""By the operation that makes it. Everything that is reached by an id which the service gave is here."""

FIRST_ANSWERS = {"check_sale": SALE_CHECK, "record_events": TESTED}
OF_PRIVATE_THINGS = {"complete_sale"}
"""Another owner does not get as far as a repeat there: the thing itself is not there."""


def test_everything_that_has_an_id_of_ours_is_among_them(app: Flask) -> None:
    by_id = {rule.endpoint.rpartition(".")[2] for rule in app.url_map.iter_rules() if "id" in rule.arguments}
    assert by_id == {name for private in PRIVATE.values() for name in private.reached}


def test_everything_that_is_safe_to_repeat_is_among_them() -> None:
    items = described()["paths"].values()
    operations = [each for item in items for each in item.values() if isinstance(each, dict)]
    storing = {
        each["operationId"]
        for each in operations
        if any(parameter["name"] == "Idempotency-Key" for parameter in each.get("parameters", ()))
    }
    assert storing == set(FIRST_ANSWERS) | OF_PRIVATE_THINGS


@pytest.mark.parametrize(
    ("made", "operation"), [(made, operation) for made, each in PRIVATE.items() for operation in each.reached]
)
def test_what_is_anothers_is_not_there(
    client: FlaskClient, keys: Callable[..., Headers], made: str, operation: str
) -> None:
    private = PRIVATE[made]
    first = private.made_by.send(client, keys("till", private.made_by.scope))
    assert first.status_code == 201
    address = first.headers["Location"]
    reach = private.reached[operation]
    others = keys("other-till", *set(Scope) - {Scope.ADMINISTER})
    refused, nowhere = reach(client, address, others), reach(client, _of_nobody(address), others)
    assert (refused.status_code, nowhere.status_code) == (404, 404)
    # What is another's and what never was cannot be told apart.
    ours, never = problem_of(refused), problem_of(nowhere)
    assert ours["code"] == never["code"]
    assert str(ours).replace(address.rpartition("/")[2], "…") == str(never).replace(
        _of_nobody(address).rpartition("/")[2], "…"
    )
    for allowed in (keys("till", Scope.SELL), keys("office", Scope.SELL, Scope.ADMINISTER)):
        assert reach(client, address, allowed).status_code != 404


def _of_nobody(address: str) -> str:
    """An address of the same form that was never given."""
    path, _, name = address.rpartition("/")
    kind, _, digits = name.partition("-")
    return f"{path}/{kind}-{digits[::-1]}"


@pytest.mark.parametrize("name", FIRST_ANSWERS)
def test_a_repeat_is_answered_to_its_owner_alone(
    client: FlaskClient, keys: Callable[..., Headers], name: str
) -> None:
    storing = FIRST_ANSWERS[name]
    one, second_of_one, other = (keys(owner, storing.scope) for owner in ("one", "one", "other"))
    first = storing.send(client, one, key="the-same-key")
    others = storing.send(client, other, key="the-same-key")
    assert (first.status_code, others.status_code) == (201, 201)
    assert "Idempotency-Replayed" not in others.headers
    again = storing.send(client, second_of_one, key="the-same-key")
    assert again.headers["Idempotency-Replayed"] == "true"
    assert again.get_data() == first.get_data()
