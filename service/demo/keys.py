"""The demo's keys. They are known to everybody, and are put into the demo's database and no other."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import Engine

from service.usecases.caller import Scope
from service.usecases.key_text import KeyText
from service.usecases.keys import make_key


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoKey:
    """One key, and what it is for."""

    id: str
    owner: str
    scopes: Collection[Scope]
    asks: str
    """Who would have it in a real shop."""
    public: bool = False
    rate: int = 6000

    @property
    def text(self) -> KeyText:
        """The key whole; its secret says that it is none."""
        return KeyText(self.id, f"everybodyknowsthiskey{self.id}777")

    @property
    def written(self) -> str:
        """The key as it is sent."""
        return self.text.written()


STAFF = DemoKey(id="demodesk", owner="staff", scopes=tuple(Scope), asks="whoever runs the shop")
DEMO_KEYS = (
    STAFF,
    DemoKey(id="demotill", owner="till", scopes=(Scope.ASK, Scope.STOCK, Scope.SELL), asks="the till"),
    DemoKey(
        id="demowork",
        owner="bench",
        scopes=(Scope.ASK, Scope.STOCK, Scope.RECORD),
        asks="the bench",
    ),
    DemoKey(
        id="demochat",
        owner="chat",
        scopes=(Scope.ASK,),
        public=True,
        rate=600,
        asks="the chat of the web site, which sees nothing that was written down",
    ),
)

STAFF_KEY = STAFF.written


def put_keys(engine: Engine) -> None:
    """Enter the demo's keys into the demo's database."""
    for key in DEMO_KEYS:
        make_key(engine, owner=key.owner, scopes=key.scopes, public=key.public, rate=key.rate, text=key.text)
