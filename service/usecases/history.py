"""What has happened to a board or a unit (Q10), and to all of them: the feed for other systems."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.ledger.event import Subject, SubjectKind
from service.domain.serials import Decoded, Unreadable
from service.store.feed import Chapter, Entry, chapters, feed
from service.usecases.caller import Caller, Scope, require
from service.usecases.mending import NotFound, read_again
from service.usecases.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """A part of what happened to one board or unit, oldest first."""

    subject: Subject
    chapters: Sequence[Chapter]
    more: bool
    """Whether there are later ones."""


def board_history(shop: Shop, caller: Caller, serial: str, *, after: int, size: int) -> History:
    """What happened to a board, from the version after `after` on.

    Raises NotFound for a serial that is neither recorded nor readable.
    """
    require(caller, Scope.STOCK)
    label = shop.catalogue().read_board(serial)
    return _history(shop, Subject(SubjectKind.BOARD, label.serial), label, serial, after, size)


def unit_history(shop: Shop, caller: Caller, serial: str, *, after: int, size: int) -> History:
    """What happened to a unit; as `board_history`."""
    require(caller, Scope.STOCK)
    plate = shop.catalogue().read_unit(serial)
    return _history(shop, Subject(SubjectKind.UNIT, plate.serial), plate, serial, after, size)


def events_after(shop: Shop, caller: Caller, after: int, size: int) -> list[Entry]:
    """The events recorded after one number, in the order in which they were committed."""
    require(caller, Scope.STOCK)
    return shop.reader.read(lambda connection: feed(connection, after, size))


def _history(
    shop: Shop, subject: Subject, read: Decoded | Unreadable, serial: str, after: int, size: int
) -> History:
    found = shop.reader.read(lambda connection: chapters(connection, subject, after, size + 1))
    if not found and not after and isinstance(read, Unreadable):
        what = "label" if subject.kind is SubjectKind.BOARD else "plate"
        raise NotFound(subject.kind.value, serial, read_again(read, what))
    return History(subject=subject, chapters=found[:size], more=len(found) > size)
