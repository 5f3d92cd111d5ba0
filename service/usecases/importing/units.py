"""A line of a file of units: what plate and papers say, and the boards that the factory fitted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.domain.catalogue.model import Catalogue
from service.domain.place import Place
from service.domain.serials import compact
from service.usecases.importing import cells
from service.usecases.importing.columns import Column, Columns, same_name
from service.usecases.importing.entry import Entry
from service.usecases.intake.told import Told

UNIT_COLUMNS = (
    Column("serial", "the serial on the unit's plate, grouped as you like", required=True),
    Column("model", "the id of its model", cells.identifier),
    Column("market", "the id of the market it was sold in", cells.identifier),
    Column("made_on", "the day on which it was made, such as 2025-03-31", cells.day),
    Column("registered_on", "the day on which you came to know of it; empty is today", cells.day),
)

_TOLD = ("model", "market", "made_on")


def place_columns(catalogue: Catalogue) -> dict[str, Place]:
    """A column for each place that a board can have in a unit: `main`, `bumper.left`.

    Roles are the catalogue's, so one may have the name of another column: that one is `board.model`.
    """
    taken = [column.name for column in UNIT_COLUMNS]
    places = [Place(role.id, name) for role in catalogue.roles.values() for name in role.places]
    return {_column_of(place, taken): place for place in places}


def unit_columns(catalogue: Catalogue) -> Columns:
    """The columns of a file of units, under the catalogue in force."""
    boards = (
        Column(
            name=name, told=f"the serial of the {catalogue.roles[place.role].name} that the factory fitted"
        )
        for name, place in place_columns(catalogue).items()
    )
    return Columns((*UNIT_COLUMNS, *boards))


def unit_entry(line: int, values: Mapping[str, Any], places: Mapping[str, Place]) -> Entry:
    """The event of a unit's line: it is registered."""
    told = {name: str(values[name]) for name in _TOLD if name in values}
    fitted = [name for name in places if name in values]
    boards = [_board(places[name], values[name]) for name in fitted]
    day = values.get("registered_on")
    content = {
        **told,
        "serial": compact(values["serial"]),
        "registered_on": day and day.isoformat(),
        "boards": {name: compact(values[name]) for name in fitted},
    }
    data = {"unit": values["serial"], **told, **({"boards": boards} if boards else {})}
    moment = cells.start_of(day) if day else None
    return Entry(
        line=line,
        content=content,
        told=(Told(kind="registered", occurred_at=moment, data=data),),
        columns={
            ("occurred_at",): "registered_on",
            ("data", "unit"): "serial",
            **{("data", name): name for name in _TOLD},
            **{("data", "boards", at): name for at, name in enumerate(fitted)},
        },
    )


def _board(place: Place, serial: str) -> dict[str, Any]:
    block = {"board": serial, "role": place.role}
    return {**block, "place": place.name} if place.name else block


def _column_of(place: Place, taken: list[str]) -> str:
    name = f"{place.role}.{place.name}" if place.name else str(place.role)
    return f"board.{name}" if any(same_name(name, other) for other in taken) else name
