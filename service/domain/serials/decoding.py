"""Reading a serial: which scheme it is of, what it says, or what in it to read again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.domain.serials.compacting import compact
from service.domain.serials.decoded import Decoded, Unreadable, UnreadableCause
from service.domain.serials.explaining import nearest, with_suspects
from service.domain.serials.fields import Value
from service.domain.serials.reading import read
from service.domain.serials.scheme import Scheme, Subject
from service.domain.terms import SchemeId, Serial


def decode(schemes: Sequence[Scheme], subject: Subject, text: str) -> Decoded | Unreadable:
    """What a text says as a serial of a unit or of a board. Never raises.

    The first scheme that reads the text as it stands wins, then the first that reads it with
    look-alikes resolved. Otherwise the answer tells of the scheme that comes nearest: one whose
    check or field fails before one that has no place for a character.
    """
    serial = compact(text)
    own = [scheme for scheme in schemes if scheme.subject is subject]
    failed: tuple[Scheme, Unreadable] | None = None
    for scheme, candidate in _candidates(own, serial):
        reading = read(scheme, candidate)
        if isinstance(reading, Decoded):
            return reading
        if reading is not None:
            failed = failed or (scheme, reading)
    return _explained(*failed) if failed else nearest(own, serial)


def _candidates(schemes: Sequence[Scheme], serial: Serial) -> Iterator[tuple[Scheme, Serial]]:
    """Each scheme with the text as it stands, then with look-alikes resolved where that changes it."""
    for scheme in schemes:
        yield scheme, serial
    for scheme in schemes:
        layout = scheme.compiled.layouts.get(len(serial))
        if layout is not None and (folded := layout.folded(serial)) != serial:
            yield scheme, Serial(folded)


def _explained(scheme: Scheme, wrong: Unreadable) -> Unreadable:
    return with_suspects(scheme, wrong) if wrong.cause is UnreadableCause.CHECK_CHARACTER else wrong


def is_valid(scheme: Scheme, text: str) -> bool:
    """Whether `decode` reads the text as a serial of this scheme."""
    return isinstance(decode((scheme,), scheme.subject, text), Decoded)


def order_key(
    schemes: Sequence[Scheme], subject: Subject, text: str
) -> tuple[SchemeId, tuple[Value, ...]] | None:
    """The scheme of a serial and its one place in that scheme's order.

    None where the text is unreadable, the scheme declares no order, or the place is not certain:
    such a serial cannot bound anything.
    """
    reading = decode(schemes, subject, text)
    if isinstance(reading, Unreadable) or len(reading.order_keys) != 1:
        return None
    return reading.scheme, next(iter(reading.order_keys))
