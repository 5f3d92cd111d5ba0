"""Rule 1: which unit is it? The plate, the papers and the declaration are separate witnesses.

What its boards report counts as a witness of the model only where the others are silent. Where
witnesses exclude each other there is an identity conflict: the answer is told for all of them, and
programming and selling must ask first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from itertools import product

from service.domain.catalogue.compiled import CompiledCatalogue, CompiledModel, SerialKey
from service.domain.catalogue.hub import Hub
from service.domain.facts.known import NOTHING_KNOWN, Known, stronger_wins
from service.domain.facts.question import StatedUnit
from service.domain.facts.records import UnitRecord
from service.domain.serials import Decoded, Unreadable
from service.domain.terms import Basis, MarketId, ModelId


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitFacts:
    """What is known of the unit, its boards aside."""

    serial: str | None
    """As on the plate, compacted; else as its main board reports it."""
    plate: Decoded | Unreadable | None
    record: UnitRecord | None
    model: Known
    """Model ids. A contradiction here is an identity conflict."""
    serial_conflict: bool
    market: Known
    keys: tuple[SerialKey, ...] | None
    """Possible order keys; None while the serial is unknown."""
    made: tuple[tuple[date, date], ...] | None
    """Closed intervals in which it may have been made; None while unknown."""
    witnesses: tuple[tuple[str, frozenset[str]], ...]
    """Who said which model: `plate`, `recorded`, `papers`, `declared`, `reported`."""

    @property
    def identity_conflict(self) -> bool:
        """Whether witnesses of the unit exclude each other."""
        return self.model.contradiction or self.serial_conflict

    @property
    def unknown_layout(self) -> bool:
        """Whether there is a serial that no scheme reads."""
        return isinstance(self.plate, Unreadable)

    @property
    def settled(self) -> tuple[str, ...]:
        """The facts of the unit that are known to a point."""
        serial = self.keys is not None and len(self.keys) == 1
        made = self.made is not None and all(first == last for first, last in self.made)
        return ("unit.serial",) * serial + ("unit.made_on",) * made

    def hubs(self, compiled: CompiledCatalogue) -> Iterator[Hub]:
        """Every unit that this may be: model, serial cell, date cell, market."""
        for model in self._models(compiled):
            markets = model.model.markets if self.market.values is None else self.market.values
            cells = product(self.serial_cells(model), self.date_cells(model), sorted(markets))
            for serial_cell, date_cell, market in cells:
                yield model.hub(serial_cell, date_cell, MarketId(market))

    def _models(self, compiled: CompiledCatalogue) -> list[CompiledModel]:
        """The models that it may be of. A known market leaves those that are sold there, if any is; where
        witnesses contradict each other all of them stay."""
        names = compiled.models if self.model.values is None else sorted(self.model.values)
        models = [compiled.models[ModelId(name)] for name in names]
        if self.market.values is None or self.model.contradiction:
            return models
        return [m for m in models if not m.model.markets.isdisjoint(self.market.values)] or models

    def serial_cells(self, model: CompiledModel) -> Iterable[int]:
        """The serial cells of a model that the unit may be in."""
        if self.keys is None:
            return range(model.serial_cells)
        return sorted({model.serial_cell(key) for key in self.keys})

    def date_cells(self, model: CompiledModel) -> Iterable[int]:
        """The date cells of a model that the unit may be in."""
        if self.made is None:
            return range(model.date_cells)
        return sorted({cell for first, last in self.made for cell in model.date_cells_of(first, last)})


def unit_facts(compiled: CompiledCatalogue, stated: StatedUnit, record: UnitRecord | None) -> UnitFacts:
    """Put together what the plate, the ledger, the papers, the caller and the boards say of the unit."""
    plate = compiled.read_unit(stated.serial) if stated.serial else None
    reported = compiled.read_unit(stated.read_serial) if stated.read_serial else None
    conflict = plate is not None and reported is not None and plate.serial != reported.serial
    readings = [
        found
        for found in (plate, reported if conflict or plate is None else None)
        if isinstance(found, Decoded)
    ]
    witnesses = _witnesses(stated, record, plate, reported)
    keys = tuple(key for found in readings for key in compiled.serial_keys(found))
    return UnitFacts(
        serial=plate.serial if plate else reported.serial if reported else None,
        plate=plate if plate is not None else reported,
        record=record,
        model=_model(witnesses),
        serial_conflict=conflict,
        market=_market(stated, record),
        keys=keys or None,
        made=_made(readings, stated, record),
        witnesses=witnesses,
    )


def _witnesses(
    stated: StatedUnit,
    record: UnitRecord | None,
    plate: Decoded | Unreadable | None,
    reported: Decoded | Unreadable | None,
) -> tuple[tuple[str, frozenset[str]], ...]:
    found = [
        ("plate", _models_of(plate)),
        ("recorded", _one(record.model if record else None)),
        ("papers", _one(stated.papers_model)),
        ("declared", _one(stated.model)),
    ]
    heard = [(who, models) for who, models in found if models]
    if heard:
        return tuple(heard)
    silent = [("reported", _one(stated.read_model)), ("reported", _models_of(reported))]
    return tuple((who, models) for who, models in silent if models)


def _model(witnesses: tuple[tuple[str, frozenset[str]], ...]) -> Known:
    if not witnesses:
        return NOTHING_KNOWN
    basis = Basis.RECORDED if witnesses[0][0] in ("plate", "recorded") else Basis.CLAIMED
    sets = [models for _, models in witnesses]
    common = frozenset.intersection(*sets)
    if common:
        return Known(values=common, basis=basis)
    return Known(values=frozenset[str]().union(*sets), basis=basis, contradiction=True)


def _market(stated: StatedUnit, record: UnitRecord | None) -> Known:
    recorded = Known(values=_one(record.market if record else None) or None, basis=Basis.RECORDED)
    claimed = Known(values=_one(stated.market) or None, basis=Basis.CLAIMED)
    found = stronger_wins(recorded, claimed)
    return found if found.values else replace(found, basis=None)


def _made(
    readings: list[Decoded], stated: StatedUnit, record: UnitRecord | None
) -> tuple[tuple[date, date], ...] | None:
    """The plate's own dates first, narrowed by a recorded or stated day that agrees with them."""
    intervals = tuple(interval for found in readings for interval in found.made)
    for day in (record.made_on if record else None, stated.made_on):
        if day is not None and (not intervals or any(a <= day <= b for a, b in intervals)):
            intervals = ((day, day),)
    return intervals or None


def _models_of(found: Decoded | Unreadable | None) -> frozenset[str]:
    return frozenset(found.models) if isinstance(found, Decoded) else frozenset()


def _one(value: ModelId | str | None) -> frozenset[str]:
    return frozenset() if value is None else frozenset({str(value)})
