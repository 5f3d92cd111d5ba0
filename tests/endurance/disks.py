"""Disks that are full for a while."""

from __future__ import annotations

import errno
import os
import resource
import shutil
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import FileIO
from pathlib import Path

BLOCK = b"\0" * 4096
ROOM = 2**18
"""Bytes that are left: the trouble comes in the middle of something."""
MOUNT = """
set -e
was=$(mktemp -d)
mkdir -p "$2"
cp -a "$2/." "$was"
mount -t tmpfs -o "size=$1,mode=777" tmpfs "$2"
cp -a "$was/." "$2"
rm -r "$was"
shift 2
exec "$@"
"""


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that goes wrong, and is put right again."""

    begin: Callable[[], object]
    end: Callable[[], object]


def on_small_disk(folder: Path, size: str) -> tuple[str, ...]:
    """A command that runs another one with a disk of its own in place of a folder, holding what that held.

    Nobody else sees that disk, and it is gone when the last process on it ends.
    """
    as_root = () if os.getuid() == 0 else ("--map-root-user",)
    return "unshare", "--mount", *as_root, "sh", "-c", MOUNT, "sh", size, str(folder)


def may_have_small_disks(folder: Path) -> bool:
    """Whether this user may make such disks: in a container he often may not."""
    if shutil.which("unshare") is None:
        return False
    tried = subprocess.run([*on_small_disk(folder, "1m"), "true"], capture_output=True, check=False)
    return tried.returncode == 0


def seen_by(pid: int, path: Path) -> Path:
    """A path as a process with disks of its own sees it."""
    return Path(f"/proc/{pid}/root{path}")


def filled(folder: Path) -> Trouble:
    """A disk that is full but for a little, by a file of nothing in a folder of it."""
    ballast = folder / "ballast"

    def fill() -> None:
        with ballast.open("wb", buffering=0) as file:
            _write_on(file)
            file.truncate(max(0, file.tell() - ROOM))

    return Trouble(begin=fill, end=ballast.unlink)


def limited(pids: Sequence[int], folder: Path) -> Trouble:
    """Some processes may write no file of a folder much past its size: it is refused as on a full disk."""
    was = resource.prlimit(pids[0], resource.RLIMIT_FSIZE)

    def limit(to: tuple[int, int]) -> None:
        for pid in pids:
            resource.prlimit(pid, resource.RLIMIT_FSIZE, to)

    def biggest() -> int:
        return max(path.stat().st_size for path in folder.iterdir())

    return Trouble(begin=lambda: limit((biggest() + ROOM, was[1])), end=lambda: limit(was))


def _write_on(file: FileIO) -> None:
    """Write until nothing goes any more."""
    try:
        while True:
            file.write(BLOCK)
    except OSError as full:
        if full.errno != errno.ENOSPC:
            raise
