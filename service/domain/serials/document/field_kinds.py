"""The fields of a scheme's document, kind by kind, except check fields."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial

from service.domain.serials.check import DIGITS
from service.domain.serials.document.faults import Place, Wrong
from service.domain.serials.document.values import (
    LONGEST_SERIAL,
    MOST_LISTED,
    characters,
    distinct,
    listed,
    mapping,
    number,
    serial_text,
    span,
)
from service.domain.serials.fields import Field, FieldKind, Values

Document = Mapping[object, object]
Texts = Mapping[str, Values]

FIRST_YEAR, LAST_YEAR = 1900, 2199
_GREATEST = 10**15
_LENGTHS = partial(span, read=number(1, LONGEST_SERIAL))


def text_field(document: Document, name: str, place: Place) -> Field | None:
    text = place.take(document, "text", serial_text)
    return None if text is None else _closed(name, FieldKind.TEXT, {text: frozenset((text,))})


def code_field(document: Document, name: str, place: Place, alphabet: str) -> Field | None:
    if "only" not in document:
        return _open(document, name, FieldKind.CODE, place, alphabet)
    for key in document.keys() & {"length", "characters"}:
        place.under(str(key)).attempt(_said_by_only)
    codes = place.take(document, "only", _texts)
    return (
        None if codes is None else _closed(name, FieldKind.CODE, {code: frozenset((code,)) for code in codes})
    )


def _said_by_only() -> None:
    raise Wrong("the codes under 'only' say this already", "leave it out, or leave 'only' out")


def sequence_field(document: Document, name: str, place: Place) -> Field | None:
    field = _open(document, name, FieldKind.SEQUENCE, place, DIGITS)
    first = place.take_or(document, "from", number(0, _GREATEST), 0)
    last = place.take_or(document, "to", number(0, _GREATEST), -1)
    if field is None or first is None or last is None:
        return None
    greatest = len(field.characters) ** field.most - 1
    place.attempt(partial(_ordered, first, greatest if last < 0 else last, greatest))
    return Field(
        name=name,
        kind=field.kind,
        least=field.least,
        most=field.most,
        characters=field.characters,
        first=first,
        last=None if last < 0 else last,
    )


def _ordered(first: int, last: int, greatest: int) -> None:
    if not first <= last <= greatest:
        raise Wrong(
            f"a sequence from {first} to {last} does not stand in this field",
            f"give 'from' not above 'to', and 'to' not above {greatest}, or a greater 'length'",
        )


def _open(document: Document, name: str, kind: FieldKind, place: Place, usual: str) -> Field | None:
    lengths = place.take(document, "length", _LENGTHS)
    allowed = place.take_or(document, "characters", characters, usual)
    if lengths is None or allowed is None:
        return None
    return Field(name=name, kind=kind, least=lengths[0], most=lengths[1], characters=allowed)


def year_field(document: Document, name: str, place: Place) -> Field | None:
    years = place.take(document, "years", _years)
    if "codes" in document:
        if "length" in document:
            place.under("length").attempt(_said_by_codes)
        codes = place.take(document, "codes", _texts)
        pairs = [(codes[at % len(codes)], year) for at, year in enumerate(years or ())] if codes else []
    else:
        length = place.take(document, "length", _year_length)
        pairs = [(str(year)[-length:], year) for year in years or ()] if length else []
    return _closed(name, FieldKind.YEAR, _grouped(pairs)) if pairs else None


def _said_by_codes() -> None:
    raise Wrong("the codes say how long it is", "leave 'length' out")


def _year_length(value: object) -> int:
    if (length := number(1, 4)(value)) == 3:
        raise Wrong("a year is not written with three digits", "write 1, 2 or 4, or give 'codes'")
    return length


def _years(value: object) -> Sequence[int]:
    bounds = mapping(value)
    if bounds.keys() != {"from", "to"}:
        raise Wrong("the years need the keys 'from' and 'to', and no others", "write {from: 2015, to: 2049}")
    first, last = (number(FIRST_YEAR, LAST_YEAR)(bounds[key]) for key in ("from", "to"))
    if first > last:
        raise Wrong(f"the years begin in {first} and end in {last}", "give the earlier year as 'from'")
    return range(first, last + 1)


def month_field(document: Document, name: str, place: Place) -> Field | None:
    usual: Sequence[str] = [f"{month:02d}" for month in range(1, 13)]
    codes = place.take_or(document, "codes", _twelve, usual)
    return _closed(name, FieldKind.MONTH, _grouped(zip(codes, range(1, 13), strict=True))) if codes else None


def _twelve(value: object) -> Sequence[str]:
    codes = _texts(value)
    if len(codes) != 12:
        raise Wrong(f"there are {len(codes)} codes for the months", "give twelve, January first")
    return codes


def numbered_field(kind: FieldKind, last: int, width: int) -> Callable[[Document, str, Place], Field | None]:
    """A reader of fields that are numbers from 1, which need nothing but their kind."""
    pairs = [(f"{value:0{width}d}", value) for value in range(1, last + 1)]
    return lambda _document, name, _place: _closed(name, kind, _grouped(pairs))


def _texts(value: object) -> Sequence[str]:
    """Codes of one length, each once: a list, or the characters of a text."""
    entries = list(value) if isinstance(value, str) and len(value) <= MOST_LISTED else listed(value)
    codes = distinct([serial_text(entry) for entry in entries])
    if len(set(map(len, codes))) != 1:
        raise Wrong("the codes are not of one length", "give one or more codes of the same length")
    return codes


def _grouped(pairs: Iterable[tuple[str, int]]) -> Texts:
    """Each text with all the numbers that it stands for."""
    numbers: dict[str, set[int]] = {}
    for text, value in pairs:
        numbers.setdefault(text, set()).add(value)
    return {text: frozenset(values) for text, values in numbers.items()}


def _closed(name: str, kind: FieldKind, readings: Texts) -> Field:
    length = len(next(iter(readings)))
    return Field(
        name=name,
        kind=kind,
        least=length,
        most=length,
        characters="".join(sorted(set().union(*readings))),
        readings=readings,
    )
