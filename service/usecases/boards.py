"""What this board is (Q1)."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.facts.records import BoardRecord
from service.domain.serials import Decoded, Subject, Unreadable, decode
from service.domain.terms import PartNumber
from service.usecases.caller import Caller, View
from service.usecases.mending import NotFound, read_again
from service.usecases.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownBoard:
    """A board as it is known."""

    label: Decoded | Unreadable
    record: BoardRecord | None
    parts: tuple[PartNumber, ...]
    """The parts it may be: as recorded, else as its label says; empty where neither says."""


def known_board(shop: Shop, caller: Caller, serial: str) -> KnownBoard:
    """One board by the serial on its label. Raises NotFound where it is neither recorded nor readable."""
    label = decode(shop.catalogue().catalogue.schemes, Subject.BOARD, serial)
    record = None
    if caller.view is not View.PUBLIC:
        record = shop.gather((label.serial,), (), None).boards.get(label.serial)
    if record is None and isinstance(label, Unreadable):
        mend = read_again(label, "label")
        raise NotFound("board", serial, f"{mend}, or describe the board by its part at /v1/fit?part=")
    told = label.parts if isinstance(label, Decoded) else frozenset[PartNumber]()
    recorded = record.part if record else None
    return KnownBoard(label=label, record=record, parts=(recorded,) if recorded else tuple(sorted(told)))
