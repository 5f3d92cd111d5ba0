"""A clock that is set while the service runs, by the library libfaketime.

PostgreSQL goes by a clock of its own, as on a host of its own; SQLite is part of the process, so there the
database's clock is set, too.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import timedelta
from functools import partial
from glob import glob
from http.client import HTTPConnection
from pathlib import Path

from service.usecases.caller import Scope
from service.usecases.keys import make_key
from tests.endurance.asking import Client, Write, event
from tests.endurance.crews import PATIENCE
from tests.endurance.disks import Trouble
from tests.endurance.loading import is_repetition
from tests.soak.faults.scenes import CannotHappen, Scene
from tests.soak.running import Shop, a_served_shop, database
from tests.support.keys import OFTEN, bearer

LIBRARY = "/usr/lib/*/faketime/libfaketimeMT.so.1"
FORWARDS, BACKWARDS = "+1d", "-1d"
LONG_FORWARDS = "+3d"
"""More than the two days that answers are kept for: only where the database's clock stays as it is."""
QUICK = 2.0
"""Seconds: no answer waits for a clock."""


def environment(file: Path) -> dict[str, str]:
    """What a process needs to go by the clock in a file."""
    found = sorted(glob(LIBRARY))  # noqa: PTH207 - the folder's name depends on the machine
    if not found:
        raise CannotHappen("there is no libfaketime (Debian's package of that name) to set a clock with")
    return {
        "LD_PRELOAD": found[0],
        "FAKETIME_TIMESTAMP_FILE": str(file),
        "FAKETIME_NO_CACHE": "1",
        # Nobody can set the clock that waiting goes by.
        "FAKETIME_DONT_FAKE_MONOTONIC": "1",
        "DONT_FAKE_MONOTONIC": "1",
    }


@contextmanager
def jump(kind: str, by: str, folder: Path) -> Iterator[Scene]:
    """The clock of the service's processes jumps, and later jumps back."""
    clock = folder / "clock"
    clock.write_text("+0", encoding="utf-8")
    with database(kind, folder) as url, a_served_shop(url, folder, environment(clock)) as shop:
        known = Known(shop)
        yield Scene(
            shop=shop,
            trouble=Trouble(begin=partial(clock.write_text, by), end=partial(clock.write_text, "+0")),
            by=f"the clock of the service's processes set by {by} (libfaketime)",
            longest=QUICK,
            recovery=0,
            felt=False,
            meanwhile=partial(known.faults, expired=by.startswith("+")),
            afterwards=partial(known.faults, expired=False),
        )


class Known:
    """What was there before the jump: a write that was acknowledged, a key of some hours, a key used up."""

    def __init__(self, shop: Shop) -> None:
        self._port = shop.server.port
        self._first = Write("before-the-jump", json.dumps({"events": [_received()]}).encode())
        self._short, _ = make_key(
            shop.engine, owner="short", scopes=[Scope.ASK], rate=OFTEN, lasts=timedelta(hours=12)
        )
        shop.engine.dispose()
        with closing(Client(self._port)) as client:
            self._answer = client.record(self._first)
        assert self._answer.status == 201

    def faults(self, *, expired: bool) -> Sequence[str]:
        """Which of it is not as it should be, while a key of some hours is out of date or not."""
        with closing(Client(self._port)) as client:
            again = client.record(self._first)
        found = (
            [] if is_repetition(again, self._answer) else ["a write from before is not answered as at first"]
        )
        status = self._client_with_the_short_key()
        wanted = 401 if expired else 200
        return found if status == wanted else [*found, f"a key of some hours is answered {status}"]

    def _client_with_the_short_key(self) -> int:
        """What that one is answered."""
        with closing(HTTPConnection("127.0.0.1", self._port, timeout=PATIENCE)) as connection:
            connection.request("GET", "/v1/models", headers=bearer(self._short.written()))
            return connection.getresponse().status


def _received() -> dict[str, object]:
    return event("received", board="BEFORETHEJUMP", part="MN-4100", binding="blank")
