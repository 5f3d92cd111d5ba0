"""Each value of an event by itself: serials as stored, and names that the catalogue in force has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Catalogue
from service.domain.facts.records import Records
from service.domain.ledger.fields import Field, FieldTable, FieldType
from service.domain.parts.numbers import by_number
from service.domain.serials import Decoded, Unreadable, UnreadableCause
from service.domain.terms import Serial
from service.usecases.intake.told import Block, Path
from service.usecases.mending import Fault, hint, read_again, shown

NAMES: Mapping[str, tuple[str, Callable[[Catalogue], Iterable[str]], str]] = {
    "role": ("role", lambda catalogue: catalogue.roles, "/v1/models"),
    "model": ("model", lambda catalogue: catalogue.models, "/v1/models"),
    "bound_model": ("model", lambda catalogue: catalogue.models, "/v1/models"),
    "market": ("market", lambda catalogue: catalogue.markets, "/v1/models"),
    "accessory": ("accessory", lambda catalogue: catalogue.accessories, "/v1/models"),
    "part": ("part", lambda catalogue: catalogue.parts, "/v1/parts"),
}
"""Fields that name something of the catalogue: what it is called, which there are, where they are listed."""


class Reader:
    """Reads the values of one event, and collects what is wrong with them."""

    def __init__(self, compiled: CompiledCatalogue, records: Records) -> None:
        self._compiled = compiled
        self._records = records
        self.faults: list[Fault] = []

    def block(self, table: FieldTable, data: Mapping[str, Any], path: Path) -> Block:
        """The data with every serial and name as it is stored."""
        return {name: self._value(name, table[name], value, (*path, name)) for name, value in data.items()}

    def _value(self, name: str, field: Field, value: Any, path: Path) -> Any:
        match field.type:
            case FieldType.BOARD:
                return self._board(value, path)
            case FieldType.UNIT | FieldType.SERIAL if value and name != "place":
                return self._unit(value, path)
            case FieldType.NAME if name in NAMES:
                return self._name(name, value, path)
            case FieldType.TEXT:
                return _plain(value)
            case FieldType.BLOCK | FieldType.LIST:
                return self._nested(field.of or {}, value, path)
            case _:
                return value

    def _nested(self, table: FieldTable, value: Any, path: Path) -> Any:
        if isinstance(value, Mapping):
            return self.block(table, value, path)
        return [self.block(table, each, (*path, at)) for at, each in enumerate(value)]

    def _board(self, text: str, path: Path) -> Serial:
        label = self._compiled.read_board(text)
        if isinstance(label, Unreadable) and label.serial not in self._records.boards:
            other = isinstance(self._compiled.read_unit(text), Decoded)
            self._check(label, "label", "is the plate serial of a unit, not a board's" if other else "", path)
        return label.serial

    def _unit(self, text: str, path: Path) -> Serial:
        plate = self._compiled.read_unit(text)
        if isinstance(plate, Unreadable) and plate.serial not in self._records.units:
            other = isinstance(self._compiled.read_board(text), Decoded)
            self._check(plate, "plate", "is the serial of a board, not a unit's" if other else "", path)
        return plate.serial

    def _check(self, found: Unreadable, what: str, confused: str, path: Path) -> None:
        """A serial of no known scheme is taken, for there are more makers than papers."""
        if confused:
            self.faults.append(Fault(path, f"{shown(found.serial)} {confused}"))
        elif not found.serial:
            self.faults.append(Fault(path, f"holds no letter or digit: read the {what} again"))
        elif found.cause is UnreadableCause.CHECK_CHARACTER:
            self.faults.append(Fault(path, f"{shown(found.serial)}: {read_again(found, what)}"))

    def _name(self, name: str, value: str, path: Path) -> str:
        what, listed, found_at = NAMES[name]
        names = listed(self._compiled.catalogue)
        if value in names:
            return value
        if name == "part" and len(parts := by_number(self._compiled.catalogue, value)) == 1:
            return parts[0].number
        mend = hint(value, names, found_at=found_at)
        self.faults.append(Fault(path, f"the catalogue has no {what} {shown(value)}: {mend}"))
        return value


def _plain(text: str) -> str:
    """A text as it is kept: what cannot be printed, a line end or a hard space, is a space in it."""
    return " ".join("".join(each if each.isprintable() else " " for each in text).split())
