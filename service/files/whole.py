"""Files that are there under their name when they are whole, and not before."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO


@contextmanager
def under_way(file: Path, beside: Sequence[str] = ()) -> Iterator[Path]:
    """The name under which to write a file; it gets its own when the block ended well, and else is gone.

    What was under that name before stays until then. `beside`: endings of what its writer keeps next to it.
    Raises OSError where nothing can be written there.
    """
    unfinished = file.parent / f"{file.name}.part"
    remove(unfinished, ("", *beside))
    unfinished.touch()
    try:
        yield unfinished
        with unfinished.open("rb") as written:
            os.fsync(written.fileno())
        unfinished.replace(file)
        _keep_name(file)
    finally:
        remove(unfinished, ("", *beside))


@contextmanager
def whole_file(file: Path) -> Iterator[BinaryIO]:
    """The same as a stream to write to."""
    with under_way(file) as unfinished, unfinished.open("wb") as stream:
        yield stream


def remove(file: Path, endings: Sequence[str]) -> None:
    """Remove what stands beside a file under its name and these endings, as far as it is there."""
    for ending in endings:
        (file.parent / f"{file.name}{ending}").unlink(missing_ok=True)


def _keep_name(file: Path) -> None:
    """The folder says under which name a file is found, and is on the disk only when that is asked for."""
    folder = os.open(file.absolute().parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
