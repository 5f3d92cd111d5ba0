"""Boards in stock: where one can go, and which of them can go somewhere (Q8)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any
from urllib.parse import quote

from service.api.blueprint import Routes
from service.api.edge.paging import Key, bad_cursor, next_link, opened, sealed
from service.api.edge.path import PathText
from service.api.edge.reply import Reply
from service.api.present import stock as present
from service.api.present.wording import wording
from service.api.problems.impossible import impossible
from service.api.schemas.stock import BoardDestinations, Candidates, CandidatesQuery, DestinationsQuery
from service.api.text import stock as text
from service.api.views.units import SERIAL
from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.question import ImpossibleQuestion
from service.domain.terms import RoleId, Serial
from service.store.vacancies import Vacancy
from service.usecases.caller import Caller, Scope
from service.usecases.candidates import Wanted, candidates
from service.usecases.destinations import destinations
from service.usecases.shelving import Merit, Position
from service.usecases.shop import Shop

blp = Routes("stock", __name__, description="Boards on the shelf, and what they are good for.")


@blp.operation(
    "/v1/boards/<string:serial>/destinations",
    name="get_board_destinations",
    answer=BoardDestinations,
    query=DestinationsQuery,
    path=[
        PathText(
            name="serial",
            description="The serial on the label, as read: case, spaces and dashes don't matter.",
            example="TBM4122080117X",
        )
    ],
    problems=["unknown_board", "bad_cursor"],
    scope=Scope.STOCK,
)
def get_destinations(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """Tell where this board can still go.

    Every model that its part is listed for, and the units in service that are recorded as waiting for a
    board of its role, each with the answer and with what the board needs there. A board that is held,
    sold or unusable is told as such first.
    """
    compiled, market = shop.catalogue(), query.get("market")
    listed = _List(
        f"/v1/boards/{quote(serial, safe='')}/destinations", {"market": market} if market else {}, query
    )
    after = listed.after(str, str, str)
    waiting = _vacancy(*map(str, after)) if after else None
    with told_as_parameters(compiled):
        found = destinations(shop, caller, serial, market=market, size=listed.size, after=waiting)
    words = wording(compiled.catalogue, caller.language)
    data = present.destinations(words.names.catalogue, found, words, caller)
    return listed.reply(data, found.last, lambda shown: text.destinations(shown, words.names.language))


@blp.operation(
    "/v1/units/<string:serial>/candidates",
    name="get_unit_candidates",
    answer=Candidates,
    query=CandidatesQuery,
    path=[SERIAL],
    problems=["unknown_unit", "bad_cursor"],
    scope=Scope.STOCK,
)
def get_candidates(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """List the boards in stock that may go into this unit, the best first.

    In stock is what is here, in no unit, not sold, not held, and usable. The order: bound to this very unit
    (it holds its serial), bound to its model, blank or binding nothing, binding not known; then tested ones
    first, then by price, then by serial. What surely does not fit is left out. With the last page come boards
    of which only the label tells what they may be.
    """
    compiled = shop.catalogue()
    place: dict[str, str] = {name: query[name] for name in ("role", "place") if name in query}
    listed = _List(f"/v1/units/{quote(serial, safe='')}/candidates", place, query)
    after = listed.after(int, int, str, str)
    wanted = Wanted(serial=serial, **place)
    with told_as_parameters(compiled):
        found = candidates(shop, caller, wanted, size=listed.size, after=_position(after) if after else None)
    words = wording(compiled.catalogue, caller.language)
    data = present.candidates(words.names.catalogue, found, words)
    last = _key(found.items[-1].position) if found.more else None
    return listed.reply(data, last, lambda shown: text.candidates(shown, words.names.language))


@dataclass(frozen=True, slots=True)
class _List:
    """A list that is shown page by page: its address, its filters, and which page is asked for."""

    path: str
    filters: Mapping[str, str]
    query: Mapping[str, Any]

    @property
    def size(self) -> int:
        size: int = self.query["page_size"]
        return size

    def after(self, *like: type) -> Key | None:
        """The key of the last item of the page before. Raises `Problem` (bad_cursor, 400)."""
        return opened(self.query["cursor"], self._of, like) if "cursor" in self.query else None

    def reply(self, data: dict[str, Any], last: Key | None, as_text: Callable[[Any], str]) -> Reply:
        """The page; `last` is the key of its last item where further ones follow."""
        shown = {**data, "next_cursor": sealed(last, self._of) if last else None}
        filters = {**self.filters, "page_size": str(self.size)}
        link = next_link(self.path, filters, shown["next_cursor"])
        return Reply.of_content(shown, lambda: as_text(shown), link)

    @property
    def _of(self) -> dict[str, str]:
        return {"": self.path, **self.filters}


@contextmanager
def told_as_parameters(compiled: CompiledCatalogue) -> Iterator[None]:
    """What the catalogue has no meaning for is told as a fault of the parameter that it came in."""
    try:
        yield
    except ImpossibleQuestion as fault:
        raise impossible(fault, compiled, flat=True) from None


def _vacancy(role: str, unit: str, name: str) -> Vacancy:
    return Vacancy(RoleId(role), Serial(unit), name)


def _key(of: Position) -> Key:
    merit = of.merit
    return merit.binding, int(merit.untested), "" if merit.unpriced else str(merit.price), of.serial


def _position(key: Key) -> Position:
    binding, untested, price, serial = key
    try:
        priced = Decimal(price or 0)
    except InvalidOperation:
        raise bad_cursor() from None
    if not priced.is_finite():
        raise bad_cursor()
    return Position(Merit(int(binding), bool(untested), price == "", priced), Serial(str(serial)))
