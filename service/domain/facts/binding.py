"""How what is known of a board's binding combines. Binding only grows: blank, then one model for ever.

So knowledge of it is a join. Bound after blank is growth; blank after bound, or two models, is a
contradiction. A reading decides against any claim, a record against a claim of another model, and
otherwise the join holds across bases.
"""

from __future__ import annotations

from functools import lru_cache

from service.domain.facts.known import NOTHING_KNOWN, Known
from service.domain.facts.records import BLANK, BindingRecord
from service.domain.terms import Basis, ModelId

ONLY_BLANK = frozenset({BLANK})


@lru_cache(maxsize=4_096)
def recorded_binding(record: BindingRecord) -> Known:
    """What the ledger says."""
    if record.any_model and record.contradiction:
        return Known(basis=Basis.RECORDED, contradiction=True)
    if record.any_model:
        return Known(basis=Basis.RECORDED, without=ONLY_BLANK)
    if record.values is None:
        return NOTHING_KNOWN
    return Known(values=record.values, basis=Basis.RECORDED, contradiction=record.contradiction)


def stated_binding(binding: str | None, model: ModelId | None, basis: Basis) -> Known:
    """What a caller states: `blank`, `used` (not blank), `bound` to a model, or None for nothing."""
    match binding, model:
        case None, None:
            return NOTHING_KNOWN
        case "blank", _:
            return Known(values=ONLY_BLANK, basis=basis)
        case _, None:
            return Known(basis=basis, without=ONLY_BLANK)
        case _:
            return Known(values=frozenset({str(model)}), basis=basis)


def join(recorded: Known, reading: Known, claim: Known) -> Known:
    """What is known of the binding when all three are put together."""
    strong = _grown(recorded, reading)
    if claim.values is None and not claim.without:
        return strong
    if reading.values is not None:
        agrees = _allows(claim, strong)
        return strong if agrees else strong._replace(contradicted=Basis.CLAIMED)
    return _claimed(strong, claim)


def _grown(earlier: Known, later: Known) -> Known:
    """A later reading on top of the record."""
    if earlier.contradiction:
        return earlier._replace(values=_either(earlier.values, later.values))
    if later.values is None:
        return later._replace(values=_less_blank(earlier.values)) if later.without else earlier
    if _may_grow_into(earlier, later.values):
        return later
    if earlier.values is None:
        return Known(basis=Basis.READ, contradiction=True)
    return Known(values=earlier.values | later.values, basis=Basis.READ, contradiction=True)


def _claimed(strong: Known, claim: Known) -> Known:
    """A claim beside the record alone: it may narrow and it may grow; it never overrules."""
    if strong.contradiction or strong.values == claim.values is not None:
        return strong
    if claim.values is None:
        left = _less_blank(strong.values)
        return strong._replace(values=left, without=ONLY_BLANK, basis=strong.basis or claim.basis)
    if _may_grow_into(strong, claim.values):
        return claim
    return strong._replace(contradicted=Basis.CLAIMED)


def _may_grow_into(earlier: Known, values: frozenset[str]) -> bool:
    """Whether a board of which this was known may be bound so now."""
    if earlier.values is None:
        return not values <= earlier.without
    return values <= earlier.values or (BLANK in earlier.values and values != ONLY_BLANK)


def _allows(claim: Known, strong: Known) -> bool:
    """Whether a claim can be true beside a reading."""
    if strong.contradiction or strong.values is None:
        return True
    return bool(strong.values - claim.without if claim.values is None else strong.values & claim.values)


def _either(one: frozenset[str] | None, other: frozenset[str] | None) -> frozenset[str] | None:
    return None if one is None else one | (other or frozenset())


def _less_blank(values: frozenset[str] | None) -> frozenset[str] | None:
    """The values without blank; a board known to be blank and said to be used was bound since: any model."""
    if values is None:
        return None
    return (values - ONLY_BLANK) or None
