"""Which characters of an unreadable serial to read again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.domain.serials.compiled import Layout
from service.domain.serials.decoded import Decoded, Unreadable, UnreadableCause
from service.domain.serials.reading import read
from service.domain.serials.scheme import Scheme
from service.domain.terms import Serial

_MISREAD = ("0OQD", "1IL", "2Z", "5S", "6G", "8B")
"""Characters that are taken for one another on worn or small labels. Common practice, no source."""
_OTHERS = {seen: group.replace(seen, "") for group in _MISREAD for seen in group}


def with_suspects(scheme: Scheme, wrong: Unreadable) -> Unreadable:
    """The same, with the places at which one common misreading would explain a failed check.

    They are places to look at, never a correction: another character may as well be wrong.
    """
    mends = sorted({place for place, other in _misreadings(wrong.serial) if _reads(scheme, other)})
    return replace(wrong, suspects=tuple(place + 1 for place in mends))


def _reads(scheme: Scheme, serial: str) -> bool:
    return isinstance(read(scheme, Serial(serial)), Decoded)


def _misreadings(serial: str) -> Iterator[tuple[int, str]]:
    """Every text that may have been misread as this one, by the place of the difference, from 0."""
    for place, seen in enumerate(serial):
        before, after = serial[:place], serial[place + 1 :]
        yield from ((place, before + meant + after) for meant in _OTHERS.get(seen, ""))
        if after and after[0] != seen:
            yield place, before + after[0] + seen + after[1:]


def nearest(schemes: Sequence[Scheme], serial: Serial) -> Unreadable:
    """The scheme that comes nearest to a text that none reads, and the characters that do not fit.

    A scheme comes near when the length is right and at most one character cannot stand in its
    place, or all its fixed characters stand in theirs. Fewest unfit characters first, then the
    order of the schemes.
    """
    found = [each for scheme in schemes if (each := _unfit(scheme, serial)) is not None]
    return min(
        found,
        key=lambda wrong: len(wrong.positions),
        default=Unreadable(serial=serial, cause=UnreadableCause.NO_SCHEME),
    )


def _unfit(scheme: Scheme, serial: Serial) -> Unreadable | None:
    layout = scheme.compiled.layouts.get(len(serial))
    if layout is None:
        return None
    folded = layout.folded(serial)
    places = layout.unfit(folded)
    if len(places) > 1 and not _is_marked(layout, places):
        return None
    return Unreadable(
        serial=Serial(folded),
        cause=UnreadableCause.FIELD,
        scheme=scheme.id,
        field=scheme.fields[layout.field_at(places[0])].name,
        positions=tuple(place + 1 for place in places),
        found="".join(folded[place] for place in places),
        wanted="".join(sorted(layout.positions[places[0]])),
    )


def _is_marked(layout: Layout, unfit: Sequence[int]) -> bool:
    """Whether the layout has fixed characters and all of them stand in their places."""
    return bool(layout.fixed) and layout.fixed.isdisjoint(unfit)
