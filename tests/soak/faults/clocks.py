"""A clock that is set while the service runs.

PostgreSQL goes by a clock of its own, as on a host of its own; SQLite is part of the process, so there the
database's clock is set, too.
"""

from __future__ import annotations

import json
import shutil
import struct
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import timedelta
from functools import partial
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

DAY = 86_400
LONG = 3
"""Days, more than the two that answers are kept for: only where the database's clock stays as it is."""
QUICK = 2.0
"""Seconds: no answer waits for a clock."""
SET = "TESTS_CLOCK"
"""Names the file that holds the seconds by which the clock is set, as eight bytes."""
SHIM = r"""
#include <fcntl.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

static long long set_by(void)
{
    static volatile long long *seconds;
    if (!seconds) {
        int file = open(getenv("TESTS_CLOCK"), O_RDONLY);
        seconds = mmap(0, sizeof *seconds, PROT_READ, MAP_SHARED, file, 0);
        close(file);
    }
    return *seconds;
}

int clock_gettime(clockid_t which, struct timespec *now)
{
    int failed = syscall(SYS_clock_gettime, which, now);
    if (!failed && (which == CLOCK_REALTIME || which == CLOCK_REALTIME_COARSE)) now->tv_sec += set_by();
    return failed;
}

int gettimeofday(struct timeval *restrict now, void *restrict zone)
{
    struct timespec exact;
    (void)zone;
    clock_gettime(CLOCK_REALTIME, &exact);
    now->tv_sec = exact.tv_sec;
    now->tv_usec = exact.tv_nsec / 1000;
    return 0;
}

time_t time(time_t *also)
{
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    if (also) *also = now.tv_sec;
    return now.tv_sec;
}
"""
"""What a process is told when it asks what time it is. Waiting is left alone, as the system leaves it alone:
libfaketime shifts what Python sleeps until, too, and fails at that."""


class Clock:
    """The clock of the processes that are started with `environment`."""

    def __init__(self, folder: Path) -> None:
        compiler = shutil.which("cc")
        if compiler is None:
            raise CannotHappen("there is no C compiler to make a clock with that can be set")
        self._file, source, library = (folder / name for name in ("clock", "clock.c", "clock.so"))
        self.put(0)
        source.write_text(SHIM, encoding="utf-8")
        subprocess.run([compiler, "-shared", "-fPIC", "-O2", "-o", library, source], check=True)
        self.environment = {"LD_PRELOAD": str(library), SET: str(self._file)}

    def put(self, days: int) -> None:
        """Set it so many days ahead of the true one."""
        with self._file.open("r+b" if self._file.exists() else "wb", buffering=0) as file:
            file.write(struct.pack("q", days * DAY))


@contextmanager
def jump(kind: str, days: int, folder: Path) -> Iterator[Scene]:
    """The clock of the service's processes jumps, and later jumps back."""
    clock = Clock(folder)
    with database(kind, folder) as empty, a_served_shop(empty.url, folder, clock.environment) as shop:
        known = Known(shop)
        yield Scene(
            shop=shop,
            trouble=Trouble(begin=partial(clock.put, days), end=partial(clock.put, 0)),
            by=f"the clock that the service's processes are told is set by {days:+} days",
            longest=QUICK,
            recovery=0,
            felt=False,
            meanwhile=partial(known.faults, expired=days > 0),
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
