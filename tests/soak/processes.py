"""What the system tells of the server's processes: memory, files, connections, time of the processor."""

from __future__ import annotations

import os
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

TICK = 1 / os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True, slots=True)
class Sample:
    """One worker at one moment."""

    at: float
    """Seconds since the load began."""
    pid: int
    memory: int
    """Bytes that are its own (RssAnon of proc_pid_status(5)): a mapped database file is not."""
    resident: int
    """All bytes that are in memory for it, mapped files included (VmRSS)."""
    files: int
    """Open file descriptors."""
    threads: int
    cpu: float
    """Seconds of processor time since it began."""


@dataclass(frozen=True, slots=True)
class Moment:
    """The machine at one moment."""

    at: float
    busy: float
    """Seconds that its processors were at work in all, since it was started."""
    ours: float
    """Seconds of them for the workers and the clients."""
    connections: int | None
    """Of the service to PostgreSQL."""


def sample(pid: int, at: float) -> Sample | None:
    """A process now; None where it is gone."""
    folder = Path(f"/proc/{pid}")
    with suppress(OSError, KeyError):
        lines = (line.split(":", 1) for line in (folder / "status").read_text().splitlines())
        told = {name: value.split()[0] for name, value in lines if value.strip()}
        return Sample(
            at=at,
            pid=pid,
            memory=int(told["RssAnon"]) * 1024,
            resident=int(told["VmRSS"]) * 1024,
            files=len(list((folder / "fd").iterdir())),
            threads=int(told["Threads"]),
            cpu=cpu(pid),
        )
    return None


def cpu(pid: int) -> float:
    """Seconds of processor time of a process, all of its threads."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(") ")[2].split()
    return (int(fields[11]) + int(fields[12])) * TICK


def moment(at: float, workers: Sequence[Sample], connections: int | None) -> Moment:
    """The machine now."""
    fields = [int(each) for each in Path("/proc/stat").read_text().splitlines()[0].split()[1:9]]
    user, nice, system, _idle, _waiting, irq, softirq, _stolen = fields
    busy = (user + nice + system + irq + softirq) * TICK
    return Moment(at, busy, time.process_time() + sum(each.cpu for each in workers), connections)
