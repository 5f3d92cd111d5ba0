"""What lies on the shelf for an upgrade: boards with their prices, and which of them know each other."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.case import Case, Pairing
from service.domain.facts.gathering import case_from
from service.domain.facts.question import MAX_BOARDS, Question, StatedBoard
from service.domain.facts.records import BoardRecord
from service.domain.facts.sources import Sources
from service.domain.place import Place
from service.domain.terms import BindingPolicy, Holds, RoleId, Serial
from service.domain.upgrade.offers import StockBoard
from service.store.stock import Bound, shelved
from service.usecases.shelving import bound_of, groups_for, offer
from service.usecases.shop import Shop

MOST_OF_A_PART = 6
"""So many boards of a part are looked at in stock, the best first; a role has fewer places."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnShelf:
    """What may be taken from the shelf."""

    boards: Mapping[RoleId, Sequence[StockBoard]] = field(default_factory=dict)
    pairs: Mapping[tuple[Hashable, Hashable], Pairing] = field(default_factory=dict)
    """As `Offers.pairs`."""


EMPTY = OnShelf()


def in_stock(shop: Shop, case: Case, sources: Sources, asked: Question) -> OnShelf:
    """The boards on the shelf that could go into the unit, or into what it may be made."""
    compiled = sources.compiled
    priced = dict(_on_the_shelf(shop, compiled, case))
    records = shop.gather(list(priced), (), None).boards
    known = {serial: records[serial] for serial in priced if serial in records}
    boards: dict[RoleId, list[StockBoard]] = {}
    for serial, record in known.items():
        found = _stock_board(compiled, case, record, priced[serial])
        if found is not None:
            boards.setdefault(compiled.catalogue.parts[found.part].role, []).append(found)
    return OnShelf(boards=boards, pairs=dict(_Acquainted(case, sources, asked, known).pairs()))


def _stock_board(
    compiled: CompiledCatalogue, case: Case, record: BoardRecord, price: Decimal
) -> StockBoard | None:
    part = compiled.catalogue.parts.get(record.part) if record.part else None
    if part is None:
        return None
    model = next(iter(record.binding.values or ()), None) if part.binding is not BindingPolicy.FREE else None
    bound = None if model in (None, "blank") else model
    releases = compiled.catalogue.roles[part.role].releases
    return StockBoard(
        serial=record.serial,
        part=part.number,
        binding=bound,  # type: ignore[arg-type] # a value of a binding that is not blank is a model
        holds=_holds(record.held_serial, record.holder_in_service, case) if bound else Holds.NOTHING,
        release=releases.index(record.release) if record.release in releases else None,
        price=price,
        used=bound is not None,
    )


def _holds(held: Serial | None, in_service: bool | None, case: Case) -> Holds:
    if held and held == case.unit.serial:
        return Holds.THIS_UNIT
    return Holds.IN_SERVICE if in_service else Holds.IDLE


def _targets(compiled: CompiledCatalogue, case: Case) -> frozenset[str]:
    own = {hub.model.id for hub in case.facts.hubs}
    upgrades = compiled.catalogue.upgrades
    return frozenset(own | {c.target for c in (upgrades.conversions if upgrades else ()) if c.source in own})


def _on_the_shelf(shop: Shop, compiled: CompiledCatalogue, case: Case) -> Iterator[tuple[Serial, Decimal]]:
    models = _targets(compiled, case)
    unit = Serial(case.unit.serial or "")
    reached = {number for model in models for number in compiled.models[model].reached}  # type: ignore[index] # a model's id
    for number in sorted(reached):
        part = compiled.catalogue.parts[number]
        groups = [g for g in groups_for([part], models) if g.bound is not Bound.NOT_KNOWN]
        offered = offer(unit, groups, {number: part}, foreign_serials=True)
        found = shop.reader.read(
            lambda connection, shelf=offered.shelf: shelved(connection, shelf, None, MOST_OF_A_PART)  # type: ignore[misc] # the shelf of this turn
        )
        for each in found:
            used = bound_of(part, offered.position(each)) in (Bound.MODEL, Bound.THIS_UNIT)
            price = part.used_price if used else part.price
            if price is not None:
                yield each.serial, price


@dataclass(frozen=True, slots=True)
class _Acquainted:
    """Boards that were introduced to each other before: both from the shelf, or one of them and one that
    sits in the unit. Whether that still counts is asked as any question of fit asks it."""

    case: Case
    sources: Sources
    asked: Question
    known: Mapping[Serial, BoardRecord]

    def pairs(self) -> Iterator[tuple[tuple[Hashable, Hashable], Pairing]]:
        if len(self.asked.unit.boards) + 2 > MAX_BOARDS:
            return
        naming, following = (
            [each for each in self.known.values() if self._binds(each) is policy]
            for policy in (BindingPolicy.NAMES, BindingPolicy.FOLLOWS)
        )
        for follower in following:
            for place in self._places(BindingPolicy.NAMES):
                yield from self._found((follower.serial, place), follower)
            for namer in naming:
                yield from self._found((follower.serial, namer.serial), namer, follower)
        for namer in naming:
            for place in self._places(BindingPolicy.FOLLOWS):
                yield from self._found((place, namer.serial), namer)

    def _found(
        self, pair: tuple[Hashable, Hashable], *proposed: BoardRecord
    ) -> Iterator[tuple[tuple[Hashable, Hashable], Pairing]]:
        """What becomes of two boards beside each other, if they may know each other at all."""
        if not any(self._may_know(each, proposed) for each in proposed):
            return
        boards = tuple(StatedBoard(serial=each.serial) for each in proposed)
        found = case_from(self._with_the_shelf(), self.asked._replace(boards=boards))
        # The last one is the follower. One that stays and of which nothing is said knows the board that it
        # was made with, also when that was out for a while.
        stays = found.present.get(pair[0]) if isinstance(pair[0], Place) else None
        pairing = (stays or found.proposed[-1]).facts.pairing
        if pairing in (Pairing.PUT_BACK, Pairing.MOVED_TOGETHER):
            yield pair, pairing

    def _with_the_shelf(self) -> Sources:
        known = self.sources.records
        records = replace(known, boards={**known.boards, **self.known})
        return replace(self.sources, records=records, hosts={}, boards={})

    def _may_know(self, of: BoardRecord, others: Sequence[BoardRecord]) -> bool:
        """A quick look, so that the question is put for few: it was introduced to the other, or it comes out
        of this very unit."""
        serials = {each.serial for each in others} | {each.serial for each in self.case.present.values()}
        return of.partner in serials or (of.donor is not None and of.donor == self.case.unit.serial)

    def _binds(self, record: BoardRecord) -> BindingPolicy | None:
        part = self.sources.compiled.catalogue.parts.get(record.part) if record.part else None
        return part.binding if part else None

    def _places(self, policy: BindingPolicy) -> list[Place]:
        """The unit's places of boards that bind so."""
        found = {
            place
            for hub in self.case.facts.hubs
            for place in hub.places
            for number in hub.compiled.parts_of_role[place.role]
            if hub.parts[number].binding is policy
        }
        return sorted(found)
