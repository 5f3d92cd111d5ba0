"""What is wrong with a line, told by the column that it stands in."""

from __future__ import annotations

from collections.abc import Iterable

from service.files.rows import Flaw
from service.usecases.importing.entry import Entry
from service.usecases.intake.told import Path
from service.usecases.mending import Fault


def flaws_of(entry: Entry, faults: Iterable[Fault]) -> list[Flaw]:
    """What is wrong with a line: by itself, and in other columns by its events; each once."""
    flawed = {flaw.column for flaw in entry.flaws}
    found = [Flaw(entry.line, _column(entry, fault.path), fault.detail) for fault in faults]
    return list(dict.fromkeys([*entry.flaws, *(flaw for flaw in found if flaw.column not in flawed)]))


def _column(entry: Entry, path: Path) -> str:
    """The column that a place came from; of a file that has the events themselves, the place."""
    for end in range(len(path), 0, -1):
        if path[:end] in entry.columns:
            return entry.columns[path[:end]]
    return ".".join(map(str, path))
