"""The tables of a scheme's document: from fields to models or parts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from service.domain.serials.document.faults import Place, Wrong, choice, shown
from service.domain.serials.document.values import listed, mapping, serial_text
from service.domain.serials.fields import Field, FieldKind, Value
from service.domain.serials.tables import Condition, Row, Table, Target

_TEXTUAL = (FieldKind.CODE, FieldKind.TEXT)


def table(
    value: object,
    key: str,
    fields: Mapping[str, Field | None],
    target: Callable[[object], Target],
    place: Place,
) -> Table[Target]:
    """The rows of `key` (`models` or `parts`), every fault of which is noted."""
    entries = place.attempt(lambda: listed(value)) or ()
    rows = [_row(entry, key, fields, target, place.under(at)) for at, entry in enumerate(entries)]
    return Table(tuple(row for row in rows if row is not None))


def _row(
    value: object,
    key: str,
    fields: Mapping[str, Field | None],
    target: Callable[[object], Target],
    place: Place,
) -> Row[Target] | None:
    document = place.attempt(lambda: mapping(value))
    if document is None:
        return None
    place.no_others(document, ("when", key))
    always: Mapping[object, object] = {}
    when = place.take_or(document, "when", mapping, always) or always
    conditions = [_condition(name, wanted, fields, place.under("when")) for name, wanted in when.items()]
    targets = place.take(document, key, listed) or ()
    named = [place.under(key).under(at).attempt(partial(target, each)) for at, each in enumerate(targets)]
    return Row(
        when=tuple(condition for condition in conditions if condition is not None),
        targets=frozenset(each for each in named if each is not None),
    )


def _condition(
    name: object, wanted: object, fields: Mapping[str, Field | None], place: Place
) -> Condition | None:
    inner = place.under(name if isinstance(name, str) else shown(name))
    if isinstance(name, str) and name in fields and fields[name] is None:
        # The field has a fault of its own; what it can say is not known.
        return None
    field = inner.attempt(lambda: _telling(name, fields))
    if field is None:
        return None
    return inner.attempt(
        lambda: _range(field, wanted) if isinstance(wanted, Mapping) else _values(field, wanted)
    )


def _telling(name: object, fields: Mapping[str, Field | None]) -> Field:
    telling = {key: field for key, field in fields.items() if field and field.kind is not FieldKind.CHECK}
    if not isinstance(name, str) or name not in telling:
        raise Wrong(f"no field {shown(name)} tells anything in this scheme", f"use one of {choice(telling)}")
    return telling[name]


def _values(field: Field, wanted: object) -> Condition:
    entries = listed(wanted) if isinstance(wanted, (list, tuple)) else [wanted]
    values = [_value(field, entry) for entry in entries]
    for value in values:
        if not _can_say(field, value, value):
            _never(field, shown(value))
    return Condition(field=field.name, values=frozenset(values))


def _range(field: Field, wanted: Mapping[object, object]) -> Condition:
    if not wanted or wanted.keys() - {"from", "to"}:
        raise Wrong("a range has the keys 'from' and 'to', or one of them", "write {from: 2019, to: 2023}")
    if field.least != field.most and field.kind in _TEXTUAL:
        raise Wrong("codes of different lengths have no order", "list the codes instead")
    first, last = (_value(field, wanted[key]) if key in wanted else None for key in ("from", "to"))
    for bound in (first, last):
        if isinstance(bound, str) and len(bound) != field.least:
            raise Wrong(
                f"{shown(bound)} has not the length of {field.name!r}", f"write {field.least} characters"
            )
    if not _can_say(field, first, last):
        _never(field, f"{shown(first)}..{shown(last)}")
    return Condition(field=field.name, first=first, last=last)


def _value(field: Field, value: object) -> Value:
    """A value of the type that the field says."""
    if field.kind in _TEXTUAL:
        return serial_text(value)
    if not isinstance(value, int) or isinstance(value, bool):
        raise Wrong(
            f"{shown(value)} is not a number", f"{field.name!r} says a number: write one, without quotes"
        )
    return value


def _can_say(field: Field, first: Value | None, last: Value | None) -> bool:
    """Whether any text of the field says a value from `first` to `last`."""
    if field.readings is not None:
        wanted = Condition(field=field.name, first=first, last=last)
        return any(map(wanted.may_meet, field.readings.values()))
    if field.kind is FieldKind.SEQUENCE:
        return _overlapping(field, first, last)
    return _writable(field, [bound for bound in (first, last) if isinstance(bound, str)])


def _overlapping(field: Field, first: Value | None, last: Value | None) -> bool:
    least, most = field.first, field.greatest(field.most)
    lower = least if first is None else max(least, int(first))
    upper = most if last is None else min(most, int(last))
    return lower <= upper


def _writable(field: Field, bounds: Sequence[str]) -> bool:
    shaped = (
        field.least <= len(bound) <= field.most and set(bound) <= set(field.characters) for bound in bounds
    )
    return all(shaped) and list(bounds) == sorted(bounds)


def _never(field: Field, wanted: str) -> None:
    """Tell that the field never says that, and what it does say."""
    if field.readings is not None:
        # Sorted by length first, numbers stand in their order and codes of one length in theirs.
        said = set[Value]().union(*field.readings.values())
        values = sorted(map(str, said), key=lambda each: (len(each), each))
        raise Wrong(f"{field.name!r} never says {wanted}", f"it says {values[0]} to {values[-1]}")
    if field.kind is FieldKind.SEQUENCE:
        last = field.greatest(field.most)
        raise Wrong(f"{field.name!r} never says {wanted}", f"it says {field.first} to {last}")
    raise Wrong(
        f"{field.name!r} never says {wanted}",
        f"it says {field.least} to {field.most} of the characters {field.characters}",
    )
