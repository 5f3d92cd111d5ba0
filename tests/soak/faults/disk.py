"""A slow disk: every sync of the processes that write takes long, since strace(1) makes them wait in it.

What a database waits for at a commit is the sync. A device that delays needs a kernel that has one, and a
group of processes whose disk is throttled holds up the others of the machine.
"""

from __future__ import annotations

import shutil
import signal
import subprocess
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from tests.endurance.crews import PATIENCE
from tests.endurance.disks import Trouble
from tests.endurance.serving import children
from tests.soak.faults.scenes import LOCK, CannotHappen, Scene
from tests.soak.running import a_served_shop
from tests.support.postgres import postgres

SYNC = 0.7
"""Seconds that each sync takes."""
READ = 0.5


class SlowSyncs:
    """Some processes, and those that they start, wait at every sync."""

    def __init__(self, processes: Callable[[], Sequence[int]], seconds: float, log: Path) -> None:
        self._processes = processes
        self._seconds = seconds
        self._log = log
        self._tracer: subprocess.Popen[bytes] | None = None

    def begin(self) -> None:
        calls = "fsync,fdatasync"
        waiting = f"inject={calls}:delay_enter={int(self._seconds * 1e6)}"
        each = [part for pid in self._processes() for part in ("-p", str(pid))]
        command = ["strace", "-f", "-qq", "-o", str(self._log), "-e", f"trace={calls}", "-e", waiting, *each]
        self._tracer = subprocess.Popen(command, stderr=subprocess.PIPE, start_new_session=True)

    def end(self) -> None:
        if self._tracer is not None:
            self._tracer.send_signal(signal.SIGTERM)
            _, said = self._tracer.communicate(timeout=PATIENCE)
            if self._syncs() == 0:
                raise CannotHappen(f"no sync was slowed down: {said.decode(errors='replace')[:300]}")
            self._tracer = None

    def _syncs(self) -> int:
        return self._log.read_text(encoding="utf-8", errors="replace").count("(DELAYED)")


def slowed(processes: Callable[[], Sequence[int]], folder: Path) -> Trouble:
    """That, for some processes."""
    if shutil.which("strace") is None:
        raise CannotHappen("there is no strace to slow down a disk with")
    slow = SlowSyncs(processes, SYNC, folder / "syncs")
    return Trouble(begin=slow.begin, end=slow.end)


@contextmanager
def under_sqlite(folder: Path) -> Iterator[Scene]:
    with a_served_shop(f"sqlite:///{folder / 'shop.db'}", folder) as shop:
        yield Scene(
            shop=shop,
            trouble=slowed(shop.server.workers, folder),
            by=f"{SYNC} s at each sync of the workers (strace)",
            # Who has the lock syncs at most a few times, whoever waits for it is told after its time.
            longest=LOCK + 4 * SYNC,
            recovery=LOCK,
            felt=False,
            reads=READ,
        )


@contextmanager
def under_postgresql(folder: Path) -> Iterator[Scene]:
    with postgres(durable=True) as database, a_served_shop(database.url, folder) as shop:
        yield Scene(
            shop=shop,
            trouble=slowed(lambda: (database.pid, *children(database.pid)), folder),
            by=f"{SYNC} s at each sync of the server's processes (strace)",
            longest=LOCK + 4 * SYNC,
            recovery=LOCK,
            felt=False,
            reads=READ,
        )
