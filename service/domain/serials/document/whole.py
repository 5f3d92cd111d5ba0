"""The document of a scheme, from its top."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial
from math import prod

from service.domain.serials.check import ALPHANUMERIC
from service.domain.serials.compacting import compact
from service.domain.serials.dating import DATED_BY
from service.domain.serials.document.faults import Fault, Place, SchemeFaults, Wrong, choice, shown
from service.domain.serials.document.fieldlist import Known, fields_of
from service.domain.serials.document.rows import table
from service.domain.serials.document.values import (
    LONGEST_ID,
    characters,
    distinct,
    field_name,
    listed,
    mapping,
    one_of,
    slug,
    text,
    yes_or_no,
)
from service.domain.serials.fields import Field, FieldKind
from service.domain.serials.scheme import Scheme, Subject
from service.domain.serials.tables import Table, Target
from service.domain.terms import ModelId, PartNumber, SchemeId

Document = Mapping[object, object]

MOST_PLACES = 1_000
"""The most places in its order that the open years of one serial may leave."""

_KEYS = (
    "id",
    "name",
    "subject",
    "alphabet",
    "lookalikes",
    "fields",
    "made",
    "order",
    "models",
    "parts",
    "label",
)


def scheme_faults(document: object) -> list[Fault]:
    """All that is wrong with a scheme's document, in the order of reading; empty where nothing is.

    Takes any plain data, however wrong, and never raises.
    """
    return _read(document)[1]


def scheme_from_document(document: Mapping[str, object]) -> Scheme:
    """The scheme that a document describes (the format stands in this package's docstring).

    Raises SchemeFaults, with all faults, where it describes none.
    """
    scheme, faults = _read(document)
    if scheme is None:
        raise SchemeFaults(tuple(faults))
    return scheme


def _read(value: object) -> tuple[Scheme | None, list[Fault]]:
    faults: list[Fault] = []
    place = Place(faults)
    document = place.attempt(lambda: mapping(value))
    scheme = None if document is None else _scheme(document, place)
    return (None if faults else scheme), faults


def _scheme(document: Document, place: Place) -> Scheme | None:
    place.no_others(document, _KEYS)
    ident = place.take(document, "id", slug)
    name = place.take(document, "name", text)
    subject = place.take(document, "subject", lambda value: Subject(one_of([*Subject])(value)))
    alphabet = place.take_or(document, "alphabet", characters, ALPHANUMERIC)
    lookalikes = place.take_or(document, "lookalikes", yes_or_no, default=True)
    known = fields_of(document, alphabet or ALPHANUMERIC, place)
    none: tuple[str, ...] = ()
    made = place.take_or(document, "made", partial(_made, known), none)
    order = place.take_or(document, "order", partial(_order, known), none)
    label = place.take_or(document, "label", partial(_label, tuple(known)), none)
    _right_table(document, subject, place)
    models = _table(document, "models", known, _model, place)
    parts = _table(document, "parts", known, _part, place)
    if ident is None or name is None or subject is None or alphabet is None or lookalikes is None:
        return None
    fields = tuple(field for field in known.values() if field is not None)
    if made is None or order is None or label is None or not fields or len(fields) < len(known):
        return None
    return Scheme(
        id=SchemeId(ident),
        name=name,
        subject=subject,
        alphabet=alphabet,
        lookalikes=lookalikes,
        fields=fields,
        order=order,
        made=made,
        models=models,
        parts=parts,
        label=label,
    )


def _made(known: Known, value: object) -> tuple[str, ...]:
    fields = _fields(known, value)
    kinds = tuple(field.kind for field in fields if field is not None)
    if len(kinds) == len(fields) and kinds not in DATED_BY:
        ways = "; ".join(sorted(", ".join(each) for each in DATED_BY))
        raise Wrong("these fields do not date anything", f"name fields of these kinds, in this order: {ways}")
    return tuple(map(str, listed(value)))


def _order(known: Known, value: object) -> tuple[str, ...]:
    fields = [field for field in _fields(known, value) if field is not None]
    for field in fields:
        if field.kind in (FieldKind.TEXT, FieldKind.CHECK):
            raise Wrong(f"{field.name!r} orders nothing", "name years, weeks, sequences, codes")
        if field.kind is FieldKind.CODE and field.least != field.most:
            raise Wrong(f"codes of different lengths, as {field.name!r}, have no order", "leave it out")
    places = prod(max(map(len, field.readings.values())) for field in fields if field.readings is not None)
    if places > MOST_PLACES:
        raise Wrong(
            f"one serial could stand in {places} places of this order",
            f"give the years a narrower range, so that there are at most {MOST_PLACES}",
        )
    return tuple(map(str, listed(value)))


def _fields(known: Known, value: object) -> list[Field | None]:
    names = distinct([field_name(entry) for entry in listed(value)])
    for name in names:
        if name not in known:
            raise Wrong(f"there is no field {shown(name)}", f"use one of {choice(known)}")
    return [known[name] for name in names]


def _label(names: tuple[str, ...], value: object) -> tuple[str, ...]:
    """The separators before each field and after the last."""
    pieces = re.split(r"\{([^{}]*)\}", text(value))
    if tuple(pieces[1::2]) != names:
        raise Wrong(
            "the label does not name every field once", f"name them in their order: {_example(names)}"
        )
    for separator in pieces[0::2]:
        if compact(separator):
            raise Wrong(
                f"{shown(separator)} is no separator",
                "put only spaces, dashes, dots and slashes between fields",
            )
    return tuple(pieces[0::2])


def _example(names: tuple[str, ...]) -> str:
    return " ".join("{" + name + "}" for name in names)


def _table(
    document: Document, key: str, known: Known, target: Callable[[object], Target], place: Place
) -> Table[Target]:
    return table(document[key], key, known, target, place.under(key)) if key in document else Table(())


def _right_table(document: Document, subject: Subject | None, place: Place) -> None:
    """A unit's serial can name models and a board's serial parts, not the other way round."""
    wrong = {Subject.UNIT: "parts", Subject.BOARD: "models", None: ""}[subject]
    if wrong in document:
        place.under(wrong).attempt(partial(_not_for, wrong))


def _not_for(key: str) -> None:
    raise Wrong(
        f"the serials of this subject name no {key}", "write 'models' for units and 'parts' for boards"
    )


def _model(value: object) -> ModelId:
    return ModelId(slug(value))


def _part(value: object) -> PartNumber:
    return PartNumber(text(value, LONGEST_ID))
