"""PostgreSQL that is stopped, and PostgreSQL that is there and says nothing."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from tests.endurance.disks import Trouble
from tests.endurance.serving import children
from tests.soak.faults.scenes import LOCK, SILENT, Scene
from tests.soak.running import a_served_shop
from tests.support.postgres import Server, postgres


@contextmanager
def stopped(folder: Path) -> Iterator[Scene]:
    """Shut down at once, and started again."""
    with postgres(durable=True) as database, a_served_shop(database.url, folder) as shop:
        yield Scene(
            shop=shop,
            trouble=Trouble(begin=lambda: database.end(signal.SIGQUIT), end=database.start),
            by="SIGQUIT to the server; started again",
            longest=LOCK,
            recovery=5,
        )


@contextmanager
def silent(folder: Path) -> Iterator[Scene]:
    """All its processes stand still: connections are taken by the system, and nothing is answered."""
    with postgres(durable=True) as database, a_served_shop(database.url, folder) as shop:
        try:
            yield Scene(
                shop=shop,
                trouble=Trouble(
                    begin=lambda: tell_all(database, signal.SIGSTOP),
                    end=lambda: tell_all(database, signal.SIGCONT),
                ),
                by="SIGSTOP to every process of the server, SIGCONT",
                longest=SILENT,
                recovery=LOCK + 5,
            )
        finally:
            tell_all(database, signal.SIGCONT)


def tell_all(database: Server, what: signal.Signals) -> None:
    """Send a signal to the server and to all of its processes."""
    for pid in (database.pid, *children(database.pid)):
        with suppress(ProcessLookupError):
            os.kill(pid, what)
