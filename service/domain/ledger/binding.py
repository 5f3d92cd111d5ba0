"""How records of one board's binding combine, in order of sequence. Binding only grows.

Bound after blank is growth. Blank after bound, or two models, is a contradiction and exactly the
contradicting values are left; only a correction takes them back. A recorded blank holds while
nobody could have bound the board unseen.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.domain.facts.records import BLANK, BindingRecord, BoardRecord
from service.domain.terms import ModelId

NOTHING_KNOWN = BindingRecord()
ONLY_BLANK = BindingRecord(values=frozenset({BLANK}))
USED = BindingRecord(values=frozenset(), any_model=True)
"""Bound to some model or other."""


def with_binding(record: BoardRecord, known: BindingRecord) -> BoardRecord:
    """A board whose binding became known better, or less well. Only a blank board surely holds no serial."""
    if known == record.binding:
        return record
    holds_none = record.held_serial == "" and known.values != frozenset({BLANK})
    return record._replace(binding=known, held_serial=None if holds_none else record.held_serial)


def observed(known: BindingRecord, statement: Mapping[str, Any]) -> BindingRecord:
    """What is known after a statement `{"binding": "blank" | "used" | "bound", "bound_model": …}`."""
    match statement.get("binding"):
        case "blank":
            return _seen_blank(known)
        case "used":
            return _seen_used(known)
        case "bound":
            return bound(known, ModelId(statement["bound_model"]))
        case _:
            return known


def bound(known: BindingRecord, model: ModelId) -> BindingRecord:
    """What is known after the board was seen bound, or was bound, to a model."""
    if not known.contradiction and (known.any_model or _may_be(known, BLANK) or _may_be(known, model)):
        return BindingRecord(values=frozenset({model}))
    return _clash(known, model)


def attempted(known: BindingRecord, model: ModelId | None) -> BindingRecord:
    """After something that may have bound a blank board to this model; None: to one that is not known."""
    if not _is_open_blank(known):
        return known
    if model is None:
        return NOTHING_KNOWN
    return BindingRecord(values=(known.values or frozenset()) | {model})


def out_of_custody(known: BindingRecord) -> BindingRecord:
    """After the board was in other hands: what was blank may be anything now."""
    return NOTHING_KNOWN if _is_open_blank(known) else known


def _seen_blank(known: BindingRecord) -> BindingRecord:
    if not known.contradiction and not known.any_model and _may_be(known, BLANK):
        return ONLY_BLANK
    return _clash(known, BLANK)


def _seen_used(known: BindingRecord) -> BindingRecord:
    """Not blank. A board known to be just blank was bound since, to nobody knows what."""
    if known.contradiction or known.any_model:
        return known
    left = (known.values or frozenset()) - {BLANK}
    return BindingRecord(values=left) if left else USED


def _clash(known: BindingRecord, value: str) -> BindingRecord:
    values = (known.values or frozenset()) | {value}
    return BindingRecord(values=values, any_model=known.any_model, contradiction=True)


def _may_be(known: BindingRecord, value: str) -> bool:
    return known.values is None or value in known.values


def _is_open_blank(known: BindingRecord) -> bool:
    """Whether blank is one of the listed values, and not as one side of a contradiction."""
    return not known.contradiction and known.values is not None and BLANK in known.values
