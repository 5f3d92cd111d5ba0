"""The columns of a kind of file: told, found in a header whatever its style, and read row by row."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.files.rows import Flaw, Row, Unusable
from service.usecases.importing.cells import Misread, Read, text
from service.usecases.mending import hint, shown

_SEPARATORS = str.maketrans("", "", " -_.\t\r\n\N{NO-BREAK SPACE}")


@dataclass(frozen=True, slots=True)
class Column:
    """One column."""

    name: str
    told: str
    """What stands in it, for the person who makes the file."""
    reads: Read = text
    required: bool = False


class Columns:
    """All columns of a kind of file."""

    def __init__(self, columns: Iterable[Column]) -> None:
        self._known = {_key(column.name): column for column in columns}
        self._reads = {column.name: column.reads for column in self._known.values()}
        self._required = [column.name for column in self._known.values() if column.required]

    @property
    def all(self) -> tuple[Column, ...]:
        """In the order in which they are told and written."""
        return tuple(self._known.values())

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.all)

    def naming(self, given: Sequence[str]) -> list[str]:
        """The column that each name of a header means: case, spaces, dashes, underscores and order are free.

        Raises Unusable for names that are no column, stand there twice, or are missing; with all of them.
        """
        faults = [*self._unknown(given), *_repeated(given), *self._missing(given)]
        if faults:
            raise Unusable("; ".join(faults))
        return [self._known[_key(name)].name if name else "" for name in given]

    def read(self, row: Row) -> tuple[dict[str, Any], list[Flaw]]:
        """The values of a row by column, and all that is wrong with them."""
        values, flaws = {}, []
        for name, given in row.values.items():
            try:
                values[name] = self._reads[name](given)
            except Misread as error:
                flaws.append(Flaw(row.line, name, str(error)))
        flaws += [
            Flaw(row.line, name, "is empty: it is needed")
            for name in self._required
            if name not in row.values
        ]
        return values, flaws

    def enough(self, values: Mapping[str, Any]) -> bool:
        """Whether all columns that are needed could be read."""
        return all(name in values for name in self._required)

    def _unknown(self, given: Iterable[str]) -> Iterable[str]:
        for name in given:
            if name and _key(name) not in self._known:
                yield f"there is no column {shown(name)}: {hint(name, self.names, found_at='--columns')}"

    def _missing(self, given: Iterable[str]) -> Iterable[str]:
        there = {_key(name) for name in given}
        yield from (f"the column {name} is missing" for name in self._required if _key(name) not in there)


def same_name(one: str, other: str) -> bool:
    """Whether a header cannot tell two names apart."""
    return _key(one) == _key(other)


def _repeated(given: Sequence[str]) -> Iterable[str]:
    keys = [_key(name) for name in given]
    for at, name in enumerate(given):
        if name and keys[at] in keys[:at]:
            yield f"the column {shown(name)} stands there twice: keep one of them"


def _key(name: str) -> str:
    """A name without what people write differently."""
    return name.translate(_SEPARATORS).casefold()
