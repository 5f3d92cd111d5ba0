"""The list of fields in a scheme's document."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from service.domain.serials.document import field_kinds
from service.domain.serials.document.check_fields import check_field
from service.domain.serials.document.faults import Place, Wrong, shown
from service.domain.serials.document.values import LONGEST_SERIAL, field_name, listed, mapping, one_of
from service.domain.serials.fields import Field, FieldKind

Document = Mapping[object, object]
Known = Mapping[str, Field | None]
"""Fields by name, in their order; None for one that has a fault, so that no second fault is told of it."""

MOST_FIELDS = 32

_KEYS: Mapping[FieldKind, tuple[str, ...]] = {
    FieldKind.TEXT: ("text",),
    FieldKind.CODE: ("length", "characters", "only"),
    FieldKind.YEAR: ("years", "length", "codes"),
    FieldKind.MONTH: ("codes",),
    FieldKind.WEEK: (),
    FieldKind.WEEKDAY: (),
    FieldKind.DAY: (),
    FieldKind.SEQUENCE: ("length", "characters", "from", "to"),
    FieldKind.CHECK: ("system", "over"),
}


def fields_of(document: Document, alphabet: str, place: Place) -> Known:
    """All fields that have a name; their faults are noted."""
    place = place.under("fields")
    entries = place.attempt(lambda: _entries(document)) or ()
    documents = [place.under(at).attempt(partial(mapping, entry)) for at, entry in enumerate(entries)]
    found: dict[str, Field | None] = {}
    checks: list[tuple[str, Document, Place]] = []
    for at, each in enumerate(documents):
        if each is not None:
            _named(each, place.under(at), alphabet, found, checks)
    _add_checks(found, checks)
    place.attempt(lambda: _together(found))
    return found


def _entries(document: Document) -> Sequence[object]:
    if "fields" not in document:
        raise Wrong("there is no 'fields'", "add the key 'fields', with a list")
    entries = listed(document["fields"])
    if len(entries) > MOST_FIELDS:
        raise Wrong(f"there are {len(entries)} fields", f"give at most {MOST_FIELDS}")
    return entries


def _named(
    document: Document,
    place: Place,
    alphabet: str,
    found: dict[str, Field | None],
    checks: list[tuple[str, Document, Place]],
) -> None:
    """Read one field into `found`; a check is put off until all others are known."""
    name = place.take(document, "name", field_name)
    kind = place.take(document, "kind", lambda value: FieldKind(one_of([*FieldKind])(value)))
    if kind is not None:
        place.no_others(document, ("name", "kind", *_KEYS[kind]))
    if name is None:
        return
    if name in found:
        place.under("name").attempt(lambda: _twice(name))
        return
    found[name] = None
    if kind is FieldKind.CHECK:
        checks.append((name, document, place))
    elif kind is not None:
        found[name] = _fitting(_READERS[kind](document, name, place, alphabet), alphabet, place)


def _twice(name: str) -> None:
    raise Wrong(f"there are two fields {name!r}", "give each field a name of its own")


def _fitting(field: Field | None, alphabet: str, place: Place) -> Field | None:
    """The field, if all that can stand in it is in the scheme's alphabet."""
    return None if field is None else place.attempt(lambda: _within(field, alphabet))


def _within(field: Field, alphabet: str) -> Field:
    foreign = sorted(set(field.characters) - set(alphabet))
    if foreign:
        raise Wrong(
            f"{foreign[0]!r} can stand in {field.name!r} and is not in the scheme's alphabet",
            "add it to 'alphabet', or give the field fewer characters",
        )
    return field


def _add_checks(found: dict[str, Field | None], checks: Sequence[tuple[str, Document, Place]]) -> None:
    late = {name for name, _, _ in checks}
    plain: Known = {name: field for name, field in found.items() if name not in late}
    before: dict[str, Field | None] = {}
    for name, document, place in checks:
        before[name] = found[name] = check_field(document, name, place, plain, dict(before))


def _together(found: Known) -> None:
    """What only shows when all fields are known."""
    fields = [field for field in found.values() if field is not None]
    variable = [field.name for field in fields if field.least != field.most]
    if len(variable) > 1:
        raise Wrong(
            f"{shown(variable[0])} and {shown(variable[1])} both have no fixed length",
            "let at most one field have a variable length, else nobody can tell where they part",
        )
    if sum(field.most for field in fields) > LONGEST_SERIAL:
        raise Wrong("the serial is too long", f"keep all fields together within {LONGEST_SERIAL} characters")


_Reader = Callable[[Document, str, Place, str], Field | None]


def _without_alphabet(read: Callable[[Document, str, Place], Field | None]) -> _Reader:
    return lambda document, name, place, _alphabet: read(document, name, place)


_READERS: Mapping[FieldKind, _Reader] = {
    FieldKind.TEXT: _without_alphabet(field_kinds.text_field),
    FieldKind.CODE: field_kinds.code_field,
    FieldKind.YEAR: _without_alphabet(field_kinds.year_field),
    FieldKind.MONTH: _without_alphabet(field_kinds.month_field),
    FieldKind.WEEK: _without_alphabet(field_kinds.numbered_field(FieldKind.WEEK, 53, 2)),
    FieldKind.WEEKDAY: _without_alphabet(field_kinds.numbered_field(FieldKind.WEEKDAY, 7, 1)),
    FieldKind.DAY: _without_alphabet(field_kinds.numbered_field(FieldKind.DAY, 31, 2)),
    FieldKind.SEQUENCE: _without_alphabet(field_kinds.sequence_field),
}
