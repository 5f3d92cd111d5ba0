"""What is known of the boards and units of a call: by the ledger, and by its own earlier events."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.records import Records
from service.domain.ledger.event import EventKind
from service.domain.place import Place
from service.domain.serials import Decoded
from service.domain.terms import BindingPolicy, ModelId, PartNumber, RoleId, Serial

LEAVES = frozenset({EventKind.REMOVED, EventKind.SOLD})
"""Kinds after which a board sits in no unit."""


class Seat(NamedTuple):
    """Where a board sits."""

    unit: Serial
    place: Place


class Known:
    """Parts, seats and models by serial."""

    def __init__(self, compiled: CompiledCatalogue, records: Records) -> None:
        self.compiled = compiled
        self.records = records
        self._parts: dict[str, str] = {}
        self._seats: dict[str, Seat | None] = {}
        self._models: dict[str, str] = {}

    def part(self, board: str) -> PartNumber | None:
        """The part that a board is recorded as."""
        record = self.records.boards.get(Serial(board))
        found = self._parts.get(board) or (record.part if record else None)
        return PartNumber(found) if found else None

    def parts(self, board: str) -> frozenset[PartNumber]:
        """The parts of the catalogue that a board may be, as recorded, else by its label; empty: any."""
        part = self.part(board)
        if part:
            return frozenset({part}) & self.compiled.catalogue.parts.keys()
        label = self.compiled.read_board(board)
        return (
            label.parts & self.compiled.catalogue.parts.keys() if isinstance(label, Decoded) else frozenset()
        )

    def seat(self, board: str) -> Seat | None:
        """Where a board is recorded to sit."""
        if board in self._seats:
            return self._seats[board]
        record = self.records.boards.get(Serial(board))
        if record is None or record.in_unit is None or record.role is None:
            return None
        return Seat(record.in_unit, Place(record.role, record.place))

    def model(self, unit: str) -> ModelId | None:
        """The model that a unit is recorded as, else the one that its plate names."""
        record = self.records.units.get(Serial(unit))
        found = self._models.get(unit) or (record.model if record else None)
        if found:
            return ModelId(found)
        plate = self.compiled.read_unit(unit)
        models = plate.models if isinstance(plate, Decoded) else frozenset()
        return next(iter(models)) if len(models) == 1 else None

    def naming_boards(self, unit: str) -> Iterator[tuple[Serial, Place]]:
        """The boards that name and sit in a unit."""
        for board, place in self._seated(unit):
            if self.policies(board, place.role) == {BindingPolicy.NAMES}:
                yield board, place

    def occupant(self, unit: str, place: Place) -> Serial | None:
        """The board that sits in a place of a unit, as far as is recorded."""
        return next((board for board, at in self._seated(unit) if at == place), None)

    def _seated(self, unit: str) -> Iterator[tuple[Serial, Place]]:
        seats = {**self._recorded_seats(unit), **self._seats}
        for board, seat in seats.items():
            if seat is not None and seat.unit == unit:
                yield Serial(board), seat.place

    def policies(self, board: str | None, role: str) -> set[BindingPolicy]:
        """What a board of a role may do with the identity of the unit, by all parts that it may be."""
        parts = self.compiled.catalogue.parts
        own = [number for number in (self.parts(board) if board else ()) if parts[number].role == role]
        return {parts[number].binding for number in own or self.compiled.parts_of_role.get(RoleId(role), ())}

    def learn(self, kind: str, data: Mapping[str, Any]) -> None:
        """Take an event of the call into account, for those that come after it."""
        unit = data.get("into", data.get("unit"))
        if unit and "model" in data:
            self._models[unit] = data["model"]
        naming = [data["naming"]] if "naming" in data else []
        for block in (data, *data.get("boards", ()), *naming):
            if "board" in block:
                self._learn_board(kind, block, unit)
        if "recorded" in data:
            self._seats[data["recorded"]] = None

    def _learn_board(self, kind: str, block: Mapping[str, Any], unit: str | None) -> None:
        board = block["board"]
        if "part" in block:
            self._parts[board] = block["part"]
        if kind in LEAVES or (kind == EventKind.FOUND and not unit):
            self._seats[board] = None
        elif unit and "role" in block:
            self._seats[board] = Seat(Serial(unit), Place(RoleId(block["role"]), block.get("place", "")))

    def _recorded_seats(self, unit: str) -> dict[str, Seat | None]:
        record = self.records.units.get(Serial(unit))
        boards = record.boards.items() if record else ()
        return {board.serial: Seat(Serial(unit), Place(*place)) for place, board in boards}
