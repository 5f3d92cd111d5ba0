"""Faults of a question or an identifier, each with its place and how to mend it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from service.domain.serials import Unreadable, UnreadableCause

MAX_LISTED = 12
"""More names than these are not listed in a message: it points to where they are found."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One place that is wrong: member names and positions from the top of the question."""

    path: tuple[str | int, ...]
    detail: str
    """What is wrong and how to mend it, lower case, for the person who wrote the call."""


class Refused(Exception):
    """A question that the catalogue in force cannot give a meaning to."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("; ".join(fault.detail for fault in faults))
        self.faults = tuple(faults)


class NotFound(Exception):
    """An identifier that names nothing. `kind` ends the code of its problem: `model`, `sale_check`."""

    def __init__(self, kind: str, value: str, mend: str) -> None:
        super().__init__(f"no {kind.replace('_', ' ')} {shown(value)}: {mend}")
        self.kind = kind


def read_again(found: Unreadable, what: str) -> str:
    """How to mend a serial that no scheme reads: which characters of the plate or label to read again."""
    places = found.read_first
    if found.cause is UnreadableCause.NO_SCHEME or not places:
        return f"no serial of this shape is known, read the {what} again"
    which = " or ".join(str(place) for place in places)
    return f"it cannot be right, read character {which} of the {what} again"


def shown(text: str, limit: int = 40) -> str:
    """A caller's text inside a message: quoted, short, and ASCII whatever it holds."""
    cut = text if len(text) <= limit else text[:limit] + "..."
    return json.dumps(cut)


def hint(name: str, known: Iterable[str], *, found_at: str) -> str:
    """How to mend an unknown name: the closest one, else all of them where they are few."""
    names = sorted(known)
    alike = {each.lower(): each for each in names}
    close = get_close_matches(name[:64].lower(), alike, n=1, cutoff=0.6)
    if close:
        return f"did you mean {alike[close[0]]}?"
    if 0 < len(names) <= MAX_LISTED:
        return "use one of " + ", ".join(names)
    return f"see {found_at}"
