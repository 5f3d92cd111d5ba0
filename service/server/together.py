"""Counting together: the processes of a server keep their counts in one folder, where each has its own place.

A process takes the lowest place that is free, and goes on from the counts it finds there; so the files stay
as many as there are processes at once, however often workers are replaced. A lock of the system tells which
places are taken: it ends with the process, however that ends.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import tempfile
from itertools import count
from pathlib import Path
from typing import IO, Any

from prometheus_client import values

from service.settings import Settings
from service.settings.values import NONE

MEMORY = Path("/dev/shm")  # noqa: S108 - what is counted is not worth a disk
PREFIX = "boardfit-counts-"
LIBRARYS_NAME = "PROMETHEUS_MULTIPROC_DIR"
"""Where the library looks for the folder's name."""

_own: list[str] = []
"""The folder that the master of this server made; its workers inherit it by being forked."""
_held: list[IO[bytes]] = []
"""The locks of this process, which have to stay open."""


def prepare(server: Any) -> None:
    """To be called in the master before it starts a worker."""
    try:
        _own[:] = [make_folder()]
    except OSError as fault:
        server.log.warning(
            "each process counts for itself, for there is no folder to count together in (%s): "
            "set BOARDFIT_METRICS_FOLDER to one",
            fault.strerror,
        )


def tidy(server: object) -> None:  # noqa: ARG001 - as a server calls it
    """To be called in the master at its end."""
    for folder in _own:
        shutil.rmtree(folder, ignore_errors=True)
    _own.clear()


def folder_of(settings: Settings) -> str | None:
    """Where the processes of this server count: the folder that is set, else the one its master made.

    None for a server without either, whose processes count each for itself.
    """
    if settings.metrics_folder != NONE:
        return settings.metrics_folder
    return _own[0] if _own else None


def make_folder() -> str:
    """A new folder for the processes of one server."""
    within = MEMORY if os.access(MEMORY, os.W_OK) else Path(tempfile.gettempdir())
    _remove_what_the_dead_left(within)
    return tempfile.mkdtemp(prefix=f"{_prefix()}{os.getpid()}-", dir=within)


def count_in(folder: str) -> None:
    """Have this process count there. To be called before anything is counted."""
    place = _take_place(Path(folder))
    os.environ[LIBRARYS_NAME] = folder
    # The library chooses its way of counting by that name when it is imported, which is before a server has
    # made the folder, and counts by the numbers of processes, whose files would become ever more.
    values.ValueClass = values.MultiProcessValue(lambda: place)  # type: ignore[no-untyped-call] # its own lack


def _take_place(folder: Path) -> int:
    """The lowest place that is free. Raises OSError for a folder whose file system knows no locks."""
    for place in count():
        file = (folder / f"{place}.lock").open("ab")
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as refusal:
            file.close()
            if isinstance(refusal, BlockingIOError):
                continue
            raise
        _held.append(file)
        return place
    raise AssertionError


def _remove_what_the_dead_left(within: Path) -> None:
    """Folders of servers that were killed before they could tidy up."""
    for folder in within.glob(f"{_prefix()}*"):
        pid = folder.name.removeprefix(_prefix()).partition("-")[0]
        if pid.isdigit() and int(pid) != os.getpid() and not _is_alive(int(pid)):
            shutil.rmtree(folder, ignore_errors=True)


def _prefix() -> str:
    """With the place in which numbers of processes mean something: two containers may share a folder, and a
    server of the other one is not dead because nobody here has its number."""
    try:
        place = Path("/proc/self/ns/pid").readlink().name
    except OSError:
        place = ""
    return f"{PREFIX}{''.join(filter(str.isdigit, place)) or 0}-"


def _is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
