"""Whose serial a naming board holds, and how that goes together with its binding.

A board that is bound holds a unit's serial, a blank one holds none. So a word about the one is a word
about the other, and where they exclude each other the stronger basis decides.
"""

from __future__ import annotations

from dataclasses import replace

from service.domain.facts.known import NOTHING_KNOWN, Known, is_stronger
from service.domain.facts.question import StatedBoard
from service.domain.facts.records import BLANK, BoardRecord
from service.domain.facts.sources import Sources
from service.domain.terms import Basis, Holds, Serial

ONLY_BLANK = frozenset({BLANK})
ONLY_NOTHING = frozenset({str(Holds.NOTHING)})
ANYBODY = frozenset(map(str, Holds))
"""While nothing is known: also this very unit, where it is named. An unnamed unit is not the holder."""


def holder_known(
    sources: Sources, stated: StatedBoard, record: BoardRecord | None, unit_serial: str | None
) -> Known:
    """What is known of the holder, told from the strongest word about the serial itself."""
    words = (
        (sources.unit_serial(stated.read.holds), Basis.READ),
        (record.held_serial if record else None, Basis.RECORDED),
        (sources.unit_serial(stated.claimed.holds), Basis.CLAIMED),
    )
    for serial, basis in words:
        if serial is not None:
            return Known(values=_holder(serial, record, sources, unit_serial), basis=basis)
    return Known(values=ANYBODY) if unit_serial else NOTHING_KNOWN


def agreed(binding: Known, holds: Known) -> tuple[Known, Known]:
    """Binding and holder made to go together: where one is blank and the other is not, the stronger stays."""
    bound = binding.values is not None and BLANK not in binding.values
    blank = binding.values == ONLY_BLANK
    somebody = holds.values is not None and Holds.NOTHING not in holds.values
    nobody = holds.values == ONLY_NOTHING
    if binding.contradiction or (not (blank and somebody) and not (bound and nobody)):
        return binding, holds
    if is_stronger(binding.basis, holds.basis):
        return replace(binding, contradicted=holds.basis), NOTHING_KNOWN
    if is_stronger(holds.basis, binding.basis):
        told = Known(values=ONLY_BLANK) if nobody else Known(without=ONLY_BLANK)
        return replace(told, basis=holds.basis, contradicted=binding.basis), holds
    return binding, holds


def _holder(
    serial: str, record: BoardRecord | None, sources: Sources, unit_serial: str | None
) -> frozenset[str]:
    if serial == "":
        return ONLY_NOTHING
    if serial == unit_serial:
        return frozenset({Holds.THIS_UNIT})
    if not sources.looked_up:
        return frozenset({Holds.IDLE, Holds.IN_SERVICE})
    unit = sources.records.units.get(Serial(serial))
    in_service = unit.in_service if unit else None
    if in_service is None and record is not None and record.held_serial == serial:
        in_service = record.holder_in_service
    return frozenset({Holds.IN_SERVICE if in_service else Holds.IDLE})
