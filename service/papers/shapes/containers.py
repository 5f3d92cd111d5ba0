"""Shapes of lists, of mappings by name, and of records with fields."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from service.papers.places import Path
from service.papers.shapes.context import BAD, Context, Shape, fault, shown, wrong


@dataclass(frozen=True, slots=True)
class Many:
    """A list. An item that cannot be read stays as `BAD`, so that positions keep their meaning."""

    item: Shape
    least: int = 0
    most: int = 5_000
    once: bool = True
    """Whether an item may stand there only once."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, list):
            return wrong(context, path, value, "a list", "write the items in brackets: [a, b]")
        if not self.least <= len(value) <= self.most:
            told = f"the list has {len(value):,} items"
            say = f"write {self.least}" if self.least == self.most else f"write {self.least} to {self.most:,}"
            return fault(context, "wrong_count", path, told, say)
        items = [self.item.read(item, (*path, place), context) for place, item in enumerate(value)]
        if self.once:
            self._repeated(items, path, context)
        return items

    def _repeated(self, items: list[Any], path: Path, context: Context) -> None:
        seen: set[object] = set()
        for place, item in enumerate(items):
            name = item[self.item.by] if isinstance(self.item, Named) and item is not BAD else item
            if name is not BAD and isinstance(name, str):
                if name in seen:
                    fault(context, "repeated", (*path, place), f"{shown(name)} stands there twice")
                seen.add(name)


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping whose keys are names: ones it defines (`Slug`), or ones defined elsewhere (`Ref`)."""

    key: Shape
    value: Shape
    least: int = 0
    most: int = 500

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, dict):
            return wrong(context, path, value, "a mapping", "write lines of the form name: value")
        if not self.least <= len(value) <= self.most:
            told = f"there are {len(value):,} entries"
            return fault(context, "wrong_count", path, told, f"write {self.least} to {self.most:,}")
        read: dict[str, Any] = {}
        for key, inner in value.items():
            place = (*path, str(key))
            self.key.read(key, place, context)
            read[str(key)] = self.value.read(inner, place, context)
        return read


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of a record: required, unless it has a default (which is not read, and may be None)."""

    shape: Shape
    required: bool = True
    default: Any = None


@dataclass(frozen=True, slots=True)
class Record:
    """A mapping with known fields. Reading gives all of them; what is missing or `BAD` has its default."""

    entries: Mapping[str, Entry]
    what: str
    names: frozenset[str] = field(init=False, default=frozenset())

    def __post_init__(self) -> None:
        object.__setattr__(self, "names", frozenset(self.entries))

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, dict):
            return wrong(context, path, value, self.what, "write it as fields, each as name: value")
        for name in value:
            if name not in self.names:
                mend = context.report.suggest(name, self.names)
                fault(
                    context, "unknown_field", (*path, name), f"{shown(name)} is no field of {self.what}", mend
                )
        return {name: self._field(name, entry, value, path, context) for name, entry in self.entries.items()}

    def _field(self, name: str, entry: Entry, value: dict[str, Any], path: Path, context: Context) -> Any:
        if name in value:
            read = entry.shape.read(value[name], (*path, name), context)
            return entry.default if read is BAD else read
        if entry.required:
            fault(context, "missing_field", path, f"{self.what} lacks {name}")
        return entry.default


@dataclass(frozen=True, slots=True)
class Named:
    """A record, or the text of its field `by` alone, which is the record that says nothing else."""

    by: str
    record: Record

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, dict):
            return self.record.read(value, path, context)
        name = self.record.entries[self.by].shape.read(value, path, context)
        if name is BAD:
            return BAD
        return {field: name if field == self.by else e.default for field, e in self.record.entries.items()}


def needed(shape: Shape) -> Entry:
    return Entry(shape)


def optional(shape: Shape, default: Any = None) -> Entry:
    return Entry(shape, required=False, default=default)
