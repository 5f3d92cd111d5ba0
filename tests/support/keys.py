"""The key of the tests: good for everything, so often that no test meets its rate."""

from __future__ import annotations

from collections.abc import Collection
from datetime import UTC, datetime
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.api.access.counts import MemoryCounts
from service.api.access.guard import Access
from service.api.access.rates import Rates
from service.api.app import create_app
from service.api.seeing.watching import Seeing
from service.settings import Settings
from service.store.engine import reading
from service.store.keyring import Keyring
from service.store.keys import Key, all_keys, state
from service.usecases.admitting import admission
from service.usecases.caller import Scope
from service.usecases.key_text import KeyText
from service.usecases.keys import make_key
from service.usecases.shop import Shop
from service.wiring import app_on

SUITE = KeyText("thesuite", "onlythetestsoftheservicehaveit22")
OFTEN = 100_000_000


class KeyedClient(FlaskClient):
    """A client that sends the tests' key where a test sends none of its own."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.environ_base["HTTP_AUTHORIZATION"] = f"Bearer {SUITE.written()}"


def keyed_app(
    engine: Engine,
    settings: Settings | None = None,
    *,
    serving: bool = True,
    seeing: Seeing | None = None,
) -> Flask:
    """The app on a database, into which the tests' key is put. Its clients send that key by themselves."""
    put_suite_key(engine)
    app = app_on(engine, settings or Settings(), serving=serving, seeing=seeing)
    app.test_client_class = KeyedClient
    return app


def put_suite_key(engine: Engine) -> None:
    """Enter the tests' key, once."""
    with reading(engine) as connection:
        known = {key.id for key in all_keys(connection)}
    if SUITE.id not in known:
        make_key(engine, owner="suite", scopes=tuple(Scope), rate=OFTEN, text=SUITE)


def a_key(
    engine: Engine, *scopes: Scope, owner: str = "somebody", rate: int = OFTEN, public: bool = False
) -> str:
    """A new key as it is sent."""
    asked: Collection[Scope] = scopes or (Scope.ASK,)
    return make_key(engine, owner=owner, scopes=asked, rate=rate, public=public)[0].written()


def bearer(key: str) -> dict[str, str]:
    """The header field that sends a key."""
    return {"Authorization": f"Bearer {key}"}


def without_key(app: Flask) -> FlaskClient:
    """A client that sends no key by itself."""
    return FlaskClient(app, app.response_class, use_cookies=False)


class _InMemory:
    """A reader that finds the tests' key, and no database."""

    def read(self, work: Any) -> Any:
        key = Key(
            id=SUITE.id,
            digest=SUITE.digest(),
            owner="suite",
            scopes=tuple(Scope),
            public=False,
            rate=OFTEN,
            made_at=datetime(2026, 1, 1, tzinfo=UTC),
        )
        return (1, 1) if work is state else (key,)


def app_without_database(shop: Shop) -> Flask:
    """The app of a shop of any kind, which the tests' key is let into."""
    keyring = Keyring(_InMemory(), admission, 60)  # type: ignore[arg-type] # it reads all that a keyring asks for
    app = create_app(shop, access=Access(keyring=keyring, rates=Rates(MemoryCounts())))
    app.test_client_class = KeyedClient
    return app
