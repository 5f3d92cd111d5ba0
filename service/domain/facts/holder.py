"""Whose serial a naming board holds, and how that goes together with its binding.

A board that is bound holds a unit's serial, a blank one holds none. So a word about the one is a word
about the other, and where they exclude each other the stronger basis decides.
"""

from __future__ import annotations

from functools import cache

from service.domain.facts.known import NOTHING_KNOWN, Known, is_stronger
from service.domain.facts.question import StatedBoard
from service.domain.facts.records import BLANK, BoardRecord
from service.domain.facts.sources import Sources
from service.domain.terms import Basis, Holds, Serial

ONLY_BLANK = frozenset({BLANK})
ONLY_NOTHING = frozenset({str(Holds.NOTHING)})
ANYBODY = frozenset(map(str, Holds))
"""While nothing is known: also this very unit, where it is named. An unnamed unit is not the holder."""
HELD_BY_ANYBODY = Known(values=ANYBODY)
ONLY_THIS_UNIT = frozenset({Holds.THIS_UNIT})
ONLY_IDLE = frozenset({Holds.IDLE})
ONLY_IN_SERVICE = frozenset({Holds.IN_SERVICE})


def holder_known(
    sources: Sources, stated: StatedBoard, record: BoardRecord | None, unit_serial: str | None
) -> Known:
    """What is known of the holder, told from the strongest word about the serial itself."""
    if stated.silent:
        if record is not None and record.held_serial is not None:
            return _known(_holder(record.held_serial, record, sources, unit_serial), Basis.RECORDED)
        return nobody_speaks(unit_serial)
    words = (
        (sources.unit_serial(stated.read.holds), Basis.READ),
        (record.held_serial if record else None, Basis.RECORDED),
        (sources.unit_serial(stated.claimed.holds), Basis.CLAIMED),
    )
    for serial, basis in words:
        if serial is not None:
            return _known(_holder(serial, record, sources, unit_serial), basis)
    return nobody_speaks(unit_serial)


def nobody_speaks(unit_serial: str | None) -> Known:
    """What is known of the holder where nobody speaks of it."""
    return HELD_BY_ANYBODY if unit_serial else NOTHING_KNOWN


@cache
def _known(holder: frozenset[str], basis: Basis) -> Known:
    return Known(values=holder, basis=basis)


def agreed(binding: Known, holds: Known, unknown: Known) -> tuple[Known, Known]:
    """Binding and holder made to go together: where one is blank and the other is not, the stronger stays.

    Where a reading contradicts the record about the binding, the serial that the record tells is as open as
    the rest of it: `unknown`, which is what is known where nobody speaks of a holder.
    """
    bound = binding.values is not None and BLANK not in binding.values
    blank = binding.values == ONLY_BLANK
    somebody = holds.values is not None and Holds.NOTHING not in holds.values
    nobody = holds.values == ONLY_NOTHING
    maybe_blank = BLANK not in binding.without and (binding.values is None or BLANK in binding.values)
    if binding.contradiction and maybe_blank and somebody and holds.basis is Basis.RECORDED:
        return binding, unknown
    if binding.contradiction or (not (blank and somebody) and not (bound and nobody)):
        return binding, holds
    if is_stronger(binding.basis, holds.basis):
        return binding._replace(contradicted=holds.basis), NOTHING_KNOWN
    if is_stronger(holds.basis, binding.basis):
        told = Known(values=ONLY_BLANK) if nobody else Known(without=ONLY_BLANK)
        return told._replace(basis=holds.basis, contradicted=binding.basis), holds
    return binding, holds


def _holder(
    serial: str, record: BoardRecord | None, sources: Sources, unit_serial: str | None
) -> frozenset[str]:
    if serial == "":
        return ONLY_NOTHING
    if serial == unit_serial:
        return ONLY_THIS_UNIT
    if not sources.looked_up:
        return ONLY_IDLE | ONLY_IN_SERVICE
    unit = sources.records.units.get(Serial(serial))
    in_service = unit.in_service if unit else None
    if in_service is None and record is not None and record.held_serial == serial:
        in_service = record.holder_in_service
    return ONLY_IN_SERVICE if in_service else ONLY_IDLE
