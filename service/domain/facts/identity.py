"""Rule 1: which unit is it? The plate, the papers and the declaration are separate witnesses.

What its boards report counts as a witness of the model only where the others are silent. Where
witnesses exclude each other there is an identity conflict: the answer is told for all of them, and
programming and selling must ask first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from service.domain.catalogue.compiled import REMEMBERED, CompiledCatalogue, CompiledModel, SerialKey
from service.domain.catalogue.hub import Hub
from service.domain.facts.known import NOTHING_KNOWN, Known, stronger_wins
from service.domain.facts.question import StatedUnit
from service.domain.facts.records import UnitRecord
from service.domain.serials import Decoded, Unreadable
from service.domain.terms import Basis, MarketId, ModelId


class UnitFacts(NamedTuple):
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
    settled: tuple[str, ...]
    """The facts of the unit that are known to a point."""
    hubs: tuple[Hub, ...] = ()
    """Every unit that this may be: model, serial cell, date cell, market."""

    @property
    def identity_conflict(self) -> bool:
        """Whether witnesses of the unit exclude each other."""
        return self.model.contradiction or self.serial_conflict

    @property
    def unknown_layout(self) -> bool:
        """Whether there is a serial that no scheme reads."""
        return isinstance(self.plate, Unreadable)


class Words(NamedTuple):
    """All that is said of the unit itself, by whom."""

    plate: str | None
    declared: ModelId | None
    papers: ModelId | None
    reported_model: ModelId | None
    reported_serial: str | None
    market: MarketId | None
    made_on: date | None
    recorded_model: ModelId | None = None
    recorded_market: MarketId | None = None
    recorded_made_on: date | None = None


def unit_facts(compiled: CompiledCatalogue, stated: StatedUnit, record: UnitRecord | None) -> UnitFacts:
    """Put together what the plate, the ledger, the papers, the caller and the boards say of the unit."""
    words = Words(
        stated.serial,
        stated.model,
        stated.papers_model,
        stated.read_model,
        stated.read_serial,
        stated.market,
        stated.made_on,
        *((record.model, record.market, record.made_on) if record else ()),
    )
    return _put_together(compiled, words)._replace(record=record)


@lru_cache(maxsize=REMEMBERED)
def _put_together(compiled: CompiledCatalogue, words: Words) -> UnitFacts:
    """Kept for equal words: one machine is asked about several times in a row."""
    plate = compiled.read_unit(words.plate) if words.plate else None
    reported = compiled.read_unit(words.reported_serial) if words.reported_serial else None
    conflict = plate is not None and reported is not None and plate.serial != reported.serial
    serials = (plate, reported if conflict or plate is None else None)
    readings = [found for found in serials if isinstance(found, Decoded)]
    witnesses = _witnesses(words, plate, reported)
    keys = tuple(key for reading in readings for key in compiled.serial_keys(reading)) or None
    made = _made(readings, words)
    found = UnitFacts(
        serial=plate.serial if plate else reported.serial if reported else None,
        plate=plate if plate is not None else reported,
        record=None,
        model=_model(witnesses),
        serial_conflict=conflict,
        market=_market(words),
        keys=keys,
        made=made,
        witnesses=witnesses,
        settled=_settled(keys, made),
    )
    return found._replace(hubs=tuple(_hubs(compiled, found)))


def _settled(
    keys: tuple[SerialKey, ...] | None, made: tuple[tuple[date, date], ...] | None
) -> tuple[str, ...]:
    day = made is not None and all(first == last for first, last in made)
    return ("unit.serial",) * (keys is not None and len(keys) == 1) + ("unit.made_on",) * day


def _hubs(compiled: CompiledCatalogue, unit: UnitFacts) -> Iterator[Hub]:
    for model in _possible_models(compiled, unit):
        markets = model.model.markets if unit.market.values is None else unit.market.values
        cells = product(_serial_cells(unit, model), _date_cells(unit, model), sorted(markets))
        for serial_cell, date_cell, market in cells:
            yield model.hub(serial_cell, date_cell, MarketId(market))


def _possible_models(compiled: CompiledCatalogue, unit: UnitFacts) -> list[CompiledModel]:
    """The models that it may be of. A known market leaves those that are sold there, if any is; where
    witnesses contradict each other all of them stay."""
    names = compiled.models if unit.model.values is None else sorted(unit.model.values)
    models = [compiled.models[ModelId(name)] for name in names]
    if unit.market.values is None or unit.model.contradiction:
        return models
    return [m for m in models if not m.model.markets.isdisjoint(unit.market.values)] or models


def _serial_cells(unit: UnitFacts, model: CompiledModel) -> Iterable[int]:
    if unit.keys is None:
        return range(model.serial_cells)
    return sorted({model.serial_cell(key) for key in unit.keys})


def _date_cells(unit: UnitFacts, model: CompiledModel) -> Iterable[int]:
    if unit.made is None:
        return range(model.date_cells)
    return sorted({cell for first, last in unit.made for cell in model.date_cells_of(first, last)})


def _witnesses(
    words: Words, plate: Decoded | Unreadable | None, reported: Decoded | Unreadable | None
) -> tuple[tuple[str, frozenset[str]], ...]:
    found = [
        ("plate", _models_of(plate)),
        ("recorded", _one(words.recorded_model)),
        ("papers", _one(words.papers)),
        ("declared", _one(words.declared)),
    ]
    heard = [(who, models) for who, models in found if models]
    if heard:
        return tuple(heard)
    silent = [("reported", _one(words.reported_model)), ("reported", _models_of(reported))]
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


def _market(words: Words) -> Known:
    recorded = Known(values=_one(words.recorded_market) or None, basis=Basis.RECORDED)
    claimed = Known(values=_one(words.market) or None, basis=Basis.CLAIMED)
    found = stronger_wins(recorded, claimed)
    return found if found.values else NOTHING_KNOWN


def _made(readings: list[Decoded], words: Words) -> tuple[tuple[date, date], ...] | None:
    """The plate's own dates first, narrowed by a recorded or stated day that agrees with them."""
    intervals = tuple(interval for found in readings for interval in found.made)
    for day in (words.recorded_made_on, words.made_on):
        if day is not None and (not intervals or any(a <= day <= b for a, b in intervals)):
            intervals = ((day, day),)
    return intervals or None


def _models_of(found: Decoded | Unreadable | None) -> frozenset[str]:
    return frozenset(found.models) if isinstance(found, Decoded) else frozenset()


def _one(value: ModelId | str | None) -> frozenset[str]:
    return frozenset() if value is None else frozenset({str(value)})
