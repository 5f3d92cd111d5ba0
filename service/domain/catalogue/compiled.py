"""A catalogue made ready for questions: listed pairs closed under replacement, break cells, hubs.

Compiled once for a revision. A *hub* is all that the rules need to know of the unit in one world:
its model, its market, and the cells between breaks into which its plate serial and its date of
making fall. Hubs are made on first use and kept, their number is bounded by the catalogue.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import lru_cache, partial
from typing import TypeVar

from service.domain.catalogue.hub import Hub, Reach
from service.domain.catalogue.model import Catalogue, Listing, Model, Part
from service.domain.place import Place
from service.domain.serials import Decoded, Subject
from service.domain.serials.decoding import decode
from service.domain.software.reaching import joined_roles
from service.domain.software.task import Carried, all_that_runs
from service.domain.terms import BindingPolicy, MarketId, ModelId, PartNumber, RoleId

SerialKey = tuple[int, tuple[int | str, ...]]
"""Position of the scheme in the catalogue, then the scheme's own order key."""
Cut = TypeVar("Cut", SerialKey, date)


REMEMBERED = 2_048
"""So many serials are remembered with what they say: one question reads each of its serials several times.

No more: each takes 2 KB and is read anew in 10 us, and a shop has far more boards than any memory.
"""


class CompiledModel:
    """One model with its breaks, its places and the parts that reach it."""

    def __init__(self, compiled: CompiledCatalogue, model: Model) -> None:
        catalogue = compiled.catalogue
        self.model = model
        self.family = catalogue.families[model.family]
        self.places = tuple(
            Place(role, name) for role in model.roles for name in catalogue.roles[role].places
        )
        rows = compiled.rows_of.get(model.id, [])
        serials = {s for _, row in rows for s in (row.serial_from, row.serial_before) if s}
        texts = {compiled.serial_key(serial): serial for serial in sorted(serials)}
        self.serial_cuts = sorted(texts)
        self.serial_cell_names = _cell_names([texts[key] for key in self.serial_cuts])
        """Its serial cells as text: `from SERIAL before SERIAL`; empty for the single cell of no breaks."""
        self.date_cuts = sorted({d for _, row in rows for d in (row.date_from, row.date_before) if d})
        self.serial_spans = _spans(compiled.serial_cuts, self.serial_cuts)
        """Per serial cell, the cells between all breaks of the catalogue that lie in it."""
        self.date_spans = _spans(compiled.date_cuts, self.date_cuts)
        self.listed = self._own_rows(compiled, rows)
        self.reached = self._closure(compiled)
        self._hubs: dict[tuple[int, int, MarketId], Hub] = {}
        self.compiled = compiled

    @property
    def serial_cells(self) -> int:
        """Number of cells between the serial breaks of this model."""
        return len(self.serial_cuts) + 1

    @property
    def date_cells(self) -> int:
        """Number of cells between the date breaks of this model."""
        return len(self.date_cuts) + 1

    def serial_cell(self, key: SerialKey) -> int:
        """The cell of a plate serial; a break's own serial starts the next cell (`from` is inclusive)."""
        return bisect_right(self.serial_cuts, key)

    def date_cells_of(self, first: date, last: date) -> range:
        """The cells touched by the closed interval of days in which a unit may have been made."""
        return range(bisect_right(self.date_cuts, first), bisect_right(self.date_cuts, last) + 1)

    def hub(self, serial_cell: int, date_cell: int, market: MarketId) -> Hub:
        """The hub of one world's unit."""
        key = (serial_cell, date_cell, market)
        found = self._hubs.get(key)
        if found is None:
            found = self._hubs[key] = Hub(self.compiled, self, serial_cell, date_cell, market)
        return found

    def _own_rows(
        self, compiled: CompiledCatalogue, rows: Iterable[tuple[Part, Listing]]
    ) -> Mapping[PartNumber, Reach]:
        reach: dict[PartNumber, Reach] = {}
        for part, row in rows:
            reach[part.number] = reach.get(part.number, Reach()) | self._reach(compiled, row)
        return reach

    def _reach(self, compiled: CompiledCatalogue, row: Listing) -> Reach:
        if row.date_from or row.date_before:
            low = bisect_right(self.date_cuts, row.date_from) if row.date_from else 0
            high = bisect_right(self.date_cuts, row.date_before) if row.date_before else self.date_cells
            return Reach(dates=_bits(low, high))
        low = self.serial_cell(compiled.serial_key(row.serial_from)) if row.serial_from else 0
        high = (
            self.serial_cell(compiled.serial_key(row.serial_before))
            if row.serial_before
            else self.serial_cells
        )
        return Reach(serials=_bits(low, high))

    def _closure(self, compiled: CompiledCatalogue) -> Mapping[PartNumber, Reach]:
        """The cells of every part that is listed, or may take the place of one that is."""
        reached: dict[PartNumber, Reach] = {}
        for listed, cells in self.listed.items():
            for number in compiled.takers(listed, self.model.id):
                reached[number] = reached.get(number, Reach()) | cells
        return reached


class CompiledCatalogue:
    """The whole revision, ready for questions."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.read_unit = lru_cache(maxsize=REMEMBERED)(partial(decode, catalogue.schemes, Subject.UNIT))
        """What a text says as the serial of a unit."""
        self.read_board = lru_cache(maxsize=REMEMBERED)(partial(decode, catalogue.schemes, Subject.BOARD))
        """What a text says as the serial of a board."""
        self._scheme_order = {scheme.id: position for position, scheme in enumerate(catalogue.schemes)}
        self._takers = _taker_edges(catalogue.parts.values())
        breaks = [row for part in catalogue.parts.values() for row in part.listings]
        serials = {s for row in breaks for s in (row.serial_from, row.serial_before) if s}
        texts = {self.serial_key(serial): serial for serial in sorted(serials)}
        self.serial_cuts = sorted(texts)
        self.serial_cell_names = _cell_names([texts[key] for key in self.serial_cuts])
        """The cells between all serial breaks, as text: `from SERIAL before SERIAL`."""
        self.date_cuts = sorted({d for row in breaks for d in (row.date_from, row.date_before) if d})
        self.date_cell_names = _cell_names([day.isoformat() for day in self.date_cuts])
        self.plates_name_models = any(s.models.rows for s in catalogue.schemes if s.subject is Subject.UNIT)
        """Whether a plate serial says which models it can be of."""
        self.rows_of = _rows_by_model(catalogue.parts.values())
        self.models = {model.id: CompiledModel(self, model) for model in catalogue.models.values()}
        self.joined_roles = frozenset(
            role for roles in joined_roles(catalogue.software) if len(roles) > 1 for role in roles
        )
        """Roles whose software has to go together with that of another."""
        self.running = _running(catalogue)
        """The releases that run on a part, where it carries any; the same object where they are the same."""
        self.parts_of_role = _group((p.role, p.number) for p in catalogue.parts.values())
        self.binding_domain = self._binding_domain()
        """Per part, the models it may be bound to: those it is listed for or reaches, breaks ignored."""
        self.naming_roles = frozenset(
            p.role for p in catalogue.parts.values() if p.binding is BindingPolicy.NAMES
        )

    def serial_key(self, serial: str) -> SerialKey:
        """The order key of a break's serial. Raises ValueError for one that no scheme reads to one key."""
        found = self.read_unit(serial)
        if not isinstance(found, Decoded) or len(found.order_keys) != 1:
            raise ValueError(f"the break {serial!r} has no single order key")
        return self.serial_keys(found)[0]

    def serial_keys(self, found: Decoded) -> list[SerialKey]:
        """The possible order keys of a decoded serial.

        Layouts follow each other: a serial of a scheme that stands later in the catalogue counts as
        younger than any serial of an earlier one.
        """
        return sorted((self._scheme_order[found.scheme], key) for key in found.order_keys)

    def takers(self, number: PartNumber, model: ModelId) -> frozenset[PartNumber]:
        """The part itself and all parts that may go where it is listed for a model, by replacement."""
        seen = {number}
        todo = [number]
        while todo:
            for newer, models in self._takers.get(todo.pop(), ()):
                if newer not in seen and (models is None or model in models):
                    seen.add(newer)
                    todo.append(newer)
        return frozenset(seen)

    def _binding_domain(self) -> Mapping[PartNumber, frozenset[ModelId]]:
        domain: dict[PartNumber, set[ModelId]] = {number: set() for number in self.catalogue.parts}
        for model, compiled in self.models.items():
            for number in compiled.reached:
                domain[number].add(model)
        return {number: frozenset(models) for number, models in domain.items()}


def _running(catalogue: Catalogue) -> Mapping[PartNumber, frozenset[Carried]]:
    software = catalogue.software
    carrying = [part for part in catalogue.parts.values() if part.role in software.releases]
    known: dict[frozenset[Carried], frozenset[Carried]] = {}
    found = {part.number: all_that_runs(software, part.role, part.number) for part in carrying}
    return {number: known.setdefault(runs, runs) for number, runs in found.items()}


def _rows_by_model(parts: Iterable[Part]) -> Mapping[ModelId, list[tuple[Part, Listing]]]:
    rows: defaultdict[ModelId, list[tuple[Part, Listing]]] = defaultdict(list)
    for part in parts:
        for row in part.listings:
            for model in row.models:
                rows[model].append((part, row))
    return rows


def _taker_edges(
    parts: Iterable[Part],
) -> Mapping[PartNumber, list[tuple[PartNumber, frozenset[ModelId] | None]]]:
    """Per part, the parts that take its place directly, with the models this is limited to."""
    edges: defaultdict[PartNumber, list[tuple[PartNumber, frozenset[ModelId] | None]]] = defaultdict(list)
    for part in parts:
        for replaced in part.replaces:
            edges[replaced.part].append((part.number, replaced.models))
            if replaced.both_ways:
                edges[part.number].append((replaced.part, replaced.models))
    return edges


def _group(pairs: Iterable[tuple[RoleId, PartNumber]]) -> Mapping[RoleId, tuple[PartNumber, ...]]:
    grouped: defaultdict[RoleId, list[PartNumber]] = defaultdict(list)
    for role, number in pairs:
        grouped[role].append(number)
    return {role: tuple(numbers) for role, numbers in grouped.items()}


def _spans(every: Sequence[Cut], own: Sequence[Cut]) -> tuple[range, ...]:
    """Per cell between a model's own cuts, the cells between all cuts of the catalogue that lie in it."""
    ends: list[int] = [*(bisect_right(every, cut) for cut in own), len(every) + 1]
    starts = [0, *ends[:-1]]
    return tuple(range(start, end) for start, end in zip(starts, ends, strict=True))


def _cell_names(cuts: Sequence[str]) -> list[str]:
    """The cells between cuts as text; the single cell of no cuts has an empty name."""
    ends = ["", *(f"from {cut}" for cut in cuts)], [*(f"before {cut}" for cut in cuts), ""]
    return [" ".join(filter(None, pair)) for pair in zip(*ends, strict=True)]


def _bits(low: int, high: int) -> int:
    """The set of cells low..high-1 as a bit mask; empty when high <= low."""
    return ((1 << high) - 1) & ~((1 << low) - 1) if high > low else 0


def compile_catalogue(catalogue: Catalogue) -> CompiledCatalogue:
    """Make a catalogue ready for questions."""
    return CompiledCatalogue(catalogue)
