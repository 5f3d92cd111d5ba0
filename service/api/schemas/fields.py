"""Fields that take what JSON Schema takes and nothing else; every message says how to mend the value.

The stock fields are forgiving in ways that the document cannot say: a flag takes "yes", a number
takes "+1", a text takes anything a database may choke on.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from typing import Any

from marshmallow import Schema, ValidationError, fields, missing

from service.api.schemas.codes import meaning
from service.usecases.mending import hint, shown

TEXT_PATTERN = r"^[^\x00-\x1f\x7f]*[^\x00-\x20\x7f][^\x00-\x1f\x7f]*$"
"""Some visible character and no control character. Whether a text names anything is asked later."""
EMPTY_OR_TEXT_PATTERN = f"^$|{TEXT_PATTERN}"
_TEXT = re.compile(TEXT_PATTERN[:-1] + r"\Z")
_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})\Z")
_MOMENT = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[Tt]([0-9]{2}):([0-9]{2}):([0-9]{2})(?:\.([0-9]+))?"
    r"(?:[Zz]|([+-])([0-9]{2}):([0-9]{2}))\Z"
)

Messages = dict[str, str | list[Any] | dict[Any, Any]]

COMMON: Messages = {
    "required": "is missing: give it",
    "null": "may not be null: leave it out where it is not known",
    "type": "is of the wrong type: see the document",
}


def _messages(**own: str) -> Messages:
    return {**COMMON, **own}


class Checked(fields.Field[Any]):
    """A field whose `read` is the whole check.

    For every value the library would go through what else may have been asked for: three empty lists.
    """

    def read(self, value: Any) -> Any:
        """A value that is not null, as it is understood. Raises ValidationError."""
        raise NotImplementedError

    def deserialize(self, value: Any, attr: str | None = None, data: Any = None, **kwargs: Any) -> Any:
        """The same for whatever stands in a document, as the library asks for it."""
        if value is missing or value is None:
            return super().deserialize(value, attr, data, **kwargs)
        return self.read(value)


class Said(Checked, fields.String):
    """A text of any kind."""

    default_error_messages = _messages(invalid="must be a text in quotes")

    def text(self, value: Any) -> str:
        """The value, which must be a text. Raises ValidationError."""
        if not isinstance(value, str):
            raise self.make_error("invalid")
        return value


class Text(Said):
    """A short text. Surrounding spaces are dropped."""

    def __init__(self, *, longest: int = 64, may_be_empty: bool = False, **kwargs: Any) -> None:
        pattern = EMPTY_OR_TEXT_PATTERN if may_be_empty else TEXT_PATTERN
        bounds = {"minLength": 0 if may_be_empty else 1, "maxLength": longest, "pattern": pattern}
        super().__init__(metadata={**bounds, **kwargs.pop("metadata", {})}, **kwargs)
        self._longest = longest
        self._may_be_empty = may_be_empty

    def read(self, value: Any) -> str:
        text = self.text(value)
        if len(text) > self._longest:
            raise ValidationError(f"is longer than {self._longest} characters: shorten it")
        if not text and self._may_be_empty:
            return text
        if not text:
            raise ValidationError("is empty: leave it out where it is not known")
        if not _TEXT.match(text):
            says = "must hold a visible character and no control character"
            raise ValidationError(f"{says}: write it as on the label or in the catalogue")
        return text.strip()


class Whole(Checked, fields.Integer):
    """A whole number between bounds; `8.0` is one, as JSON Schema has it."""

    def __init__(self, *, least: int, most: int, **kwargs: Any) -> None:
        metadata = {"minimum": least, "maximum": most, "format": "int32", **kwargs.pop("metadata", {})}
        super().__init__(metadata=metadata, error_messages=COMMON, **kwargs)
        self._least, self._most = least, most

    def read(self, value: Any) -> int:
        number = self._number(value)
        if number is None or not self._least <= number <= self._most:
            raise ValidationError(f"must be a whole number from {self._least} to {self._most}")
        return number

    @staticmethod
    def _number(value: Any) -> int | None:
        if isinstance(value, float) and value.is_integer():
            return int(value)
        return value if isinstance(value, int) and not isinstance(value, bool) else None


class QueryWhole(Whole):
    """The same in a query string: ASCII digits only."""

    @staticmethod
    def _number(value: Any) -> int | None:
        return int(value) if re.fullmatch(r"[0-9]{1,9}", value) else None


class Flag(Checked, fields.Boolean):
    """true or false, and no word for it."""

    default_error_messages = COMMON

    def read(self, value: Any) -> bool:
        if isinstance(value, bool):
            return value
        raise ValidationError("must be true or false, without quotes")


class Choice(Said):
    """One member of a closed set. In the document all fields of one set share one component."""

    def __init__(self, members: type[StrEnum], **kwargs: Any) -> None:
        component = {"enum": [str(m) for m in members], "description": meaning(members)}
        own = {"x-component": (members.__name__, component), **kwargs.pop("metadata", {})}
        super().__init__(metadata=own, **kwargs)
        self._members = {str(member): member for member in members}

    def read(self, value: Any) -> Any:
        text = self.text(value)
        if text not in self._members:
            raise ValidationError(
                f"{shown(text)} is not known: {hint(text, self._members, found_at='the document')}"
            )
        return self._members[text]


class Word(Said):
    """One of a few words that belong to this field alone."""

    def __init__(self, words: Sequence[str], **kwargs: Any) -> None:
        allowed = {"enum": list(words)} if len(words) > 1 else {}
        super().__init__(metadata={**allowed, **kwargs.pop("metadata", {})}, **kwargs)
        self.words = tuple(words)

    def read(self, value: Any) -> str:
        text = self.text(value)
        if text not in self.words:
            mend = hint(text, self.words, found_at="the document")
            raise ValidationError(f"{shown(text)} is not known: {mend}")
        return text


class Day(Checked, fields.Date):
    """A day, as RFC 3339's full-date."""

    default_error_messages = COMMON

    def read(self, value: Any) -> date:
        found = _DAY.match(value) if isinstance(value, str) else None
        try:
            if found:
                return date(*(int(group) for group in found.groups()))
        except ValueError:
            pass
        raise ValidationError('must be a day that exists, written as "2024-05-31"')


class Moment(Checked, fields.AwareDateTime):
    """A moment, as RFC 3339's date-time; the value is in UTC."""

    default_error_messages = COMMON

    def read(self, value: Any) -> datetime:
        found = _MOMENT.match(value) if isinstance(value, str) and len(value) <= 64 else None
        try:
            if found:
                return _moment(*found.groups())
        except (ValueError, OverflowError):
            pass
        raise ValidationError(
            'must be a moment with its offset, written as "2024-05-31T08:30:00Z" (a + in an address as %2B)'
        )


def _moment(
    day: str, hour: str, minute: str, second: str, fraction: str | None, sign: str | None, off_h: str | None,
    off_m: str | None,
) -> datetime:  # fmt: skip
    if int(off_h or 0) > 23 or int(off_m or 0) > 59:
        raise ValueError
    leap = second == "60"
    micro = int(((fraction or "") + "000000")[:6])
    local = datetime.fromisoformat(f"{day}T{hour}:{minute}:{'59' if leap else second}+00:00")
    offset = timedelta(hours=int(off_h or 0), minutes=int(off_m or 0)) * (-1 if sign == "-" else 1)
    moment = local - offset
    if leap and (moment.hour, moment.minute) != (23, 59):
        raise ValueError
    # A leap second is the last second of its day; what happened in it happened before the next day.
    return (moment + timedelta(microseconds=999999 if leap else micro)).astimezone(UTC)


class Group(Checked, fields.Nested):
    """An object inside an object."""

    default_error_messages = _messages(type="must be an object in braces")

    def read(self, value: Any) -> Any:
        return self.schema.load(value)


class Several(Checked, fields.List[Any]):
    """A list with bounds on its length."""

    default_error_messages = _messages(invalid="must be a list in brackets")

    def __init__(self, inner: Any, *, least: int = 0, most: int, **kwargs: Any) -> None:
        metadata = {"minItems": least, "maxItems": most, **kwargs.pop("metadata", {})}
        super().__init__(inner, metadata=metadata, **kwargs)
        self._least, self._most = least, most

    def read(self, value: Any) -> list[Any]:
        if not isinstance(value, list):
            raise self.make_error("invalid")
        if not self._least <= len(value) <= self._most:
            raise ValidationError(f"must hold {self._least} to {self._most} items")
        found: list[Any] = []
        faults: dict[int, Any] = {}
        for index, item in enumerate(value):
            try:
                found.append(self.inner.deserialize(item))
            except ValidationError as fault:
                faults[index] = fault.messages
        if faults:
            raise ValidationError(faults)
        return found


class Amounts(Checked, fields.Dict):
    """Names with whole numbers, or with texts, so many of them."""

    default_error_messages = _messages(invalid="must be an object in braces")

    def __init__(self, *, least: int = 0, most: int, keys: Text, values: Whole | Text, **kwargs: Any) -> None:
        metadata = {"minProperties": least, "maxProperties": most, **kwargs.pop("metadata", {})}
        super().__init__(keys=keys, values=values, metadata=metadata, **kwargs)
        self._least, self._most = least, most

    def read(self, value: Any) -> dict[str, Any]:
        if isinstance(value, dict) and not self._least <= len(value) <= self._most:
            raise ValidationError(f"must hold {self._least} to {self._most} members")
        try:
            found: dict[str, Any] = self._deserialize(value, None, None)  # type: ignore[no-untyped-call] # the library carries no types here
        except ValidationError as error:
            raise ValidationError(_without_halves(error.messages)) from None
        return found


def _without_halves(messages: Any) -> Any:
    """The library tells apart whether a name or its value is wrong; both stand at the name."""
    if not isinstance(messages, dict):
        return messages
    return {name: [text for half in found.values() for text in half] for name, found in messages.items()}


class Unread(Checked, fields.Dict):
    """An object that is read later, by itself, so that its faults are its own."""

    default_error_messages = _messages(invalid="must be an object in braces")

    def read(self, value: Any) -> dict[str, Any]:
        if not isinstance(value, dict):
            raise self.make_error("invalid")
        return value


class In(Schema):
    """What a caller sends. A member that the schema does not know is refused with the closest one.

    Many documents are read in one call, so they are read here, field by field: the library's own way goes
    through every field that was not sent, and has hooks and options that no document of ours needs.
    """

    error_messages = {"type": "must be an object in braces"}  # noqa: RUF012 - the library's own shape

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        told: list[tuple[str, Any]] = list(self.load_fields.items())
        self._told = told
        self._required = frozenset(name for name, field in told if field.required)
        self._defaults = {n: field.load_default for n, field in told if field.load_default is not missing}

    def load(self, data: Any, **_: Any) -> dict[str, Any]:
        """Each member as its field reads it, and defaults. Raises ValidationError with every fault."""
        if not isinstance(data, dict):
            raise ValidationError([self.error_messages["type"]])
        found: dict[str, Any] = self._defaults.copy()
        faults: dict[str, Any] = {}
        for name, field in self._told:
            if name in data:
                value = data[name]
                try:
                    found[name] = field.deserialize(None) if value is None else field.read(value)
                except ValidationError as fault:
                    faults[name] = fault.messages
            elif name in self._required:
                faults[name] = [field.error_messages["required"]]
        if not data.keys() <= self.load_fields.keys():
            faults |= self._unknown(data)
        if not faults:
            for name, detail in self.faults(found):
                faults.setdefault(name, []).append(detail)
        if faults:
            raise ValidationError(faults)
        return found

    def _unknown(self, data: Mapping[str, Any]) -> dict[str, list[str]]:
        known = self.load_fields
        return {
            name: [f"is not a known name here: {hint(name, known, found_at='the document')}"]
            for name in sorted(data.keys() - known.keys())
        }

    def faults(self, data: Mapping[str, Any]) -> Iterable[tuple[str, str]]:  # noqa: ARG002 - for those that override it
        """Members that do not go together, each with its mend; asked where each by itself is right."""
        return ()


class Out(Schema):
    """What the service sends. Later versions may add members, so the document leaves the object open."""

    class Meta:
        unknown = "exclude"
