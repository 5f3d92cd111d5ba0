"""Writing a serial: from the values of its fields, and as the label prints it."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import zip_longest

from service.domain.serials.decoded import Decoded
from service.domain.serials.fields import Field, FieldKind, Value
from service.domain.serials.reading import read
from service.domain.serials.scheme import Scheme
from service.domain.terms import Serial


def make(scheme: Scheme, fields: Mapping[str, Value]) -> Serial:
    """The serial with these values; fixed texts and check characters come of themselves.

    A sequence is written with as few digits as the field allows. Raises ValueError where a value
    is missing, not one of the scheme's, or cannot be written in its field.
    """
    fillable = {field.name for field in scheme.fields if field.kind not in _OF_THEMSELVES}
    if fields.keys() != fillable:
        raise ValueError(f"{', '.join(sorted(fillable))} are needed, not {', '.join(sorted(fields))}")
    texts = {
        field.name: _text(field, fields.get(field.name)) for field in scheme.fields if field.check is None
    }
    for field in scheme.fields:
        if field.check is not None:
            texts[field.name] = field.check.system.compute("".join(texts[name] for name in field.check.over))
    serial = Serial("".join(texts[field.name] for field in scheme.fields))
    readable = isinstance(read(scheme, serial), Decoded)
    if not readable:
        raise ValueError(f"{serial} is dated to a week or day that its year does not have")
    return serial


_OF_THEMSELVES = (FieldKind.TEXT, FieldKind.CHECK)


def _text(field: Field, value: Value | None) -> str:
    """How the field writes the value."""
    if field.readings is not None:
        texts = (text for text, values in field.readings.items() if value is None or value in values)
        text = next(texts, "")
    elif isinstance(value, int):
        text = field.digits(value) if field.kind is FieldKind.SEQUENCE else str(value)
    else:
        text = value or ""
    if not _is_written(field, text, value):
        raise ValueError(f"{value!r} cannot stand in {field.name}")
    return text


def _is_written(field: Field, text: str, value: Value | None) -> bool:
    shaped = field.least <= len(text) <= field.most and set(text) <= set(field.characters)
    return shaped and (value is None or value in (field.reader()(text) or ()))


def format_serial(scheme: Scheme, serial: Serial) -> str:
    """The serial grouped as the label prints it; unchanged where it has no length of the scheme."""
    layout = scheme.compiled.layouts.get(len(serial))
    if layout is None or not scheme.label:
        return serial
    texts = (serial[span.start : span.stop] for span in layout.spans)
    return "".join(part for pair in zip_longest(scheme.label, texts, fillvalue="") for part in pair)
