"""Where a board can still go: into which models, and into which units that wait for one (Q8)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.question import ImpossibleQuestion, Question, StatedBoard, StatedUnit
from service.domain.fit.answer import Answer
from service.domain.terms import MarketId, ModelId, Outcome, RoleId
from service.store.vacancies import Vacancy, vacancies
from service.usecases.boards import KnownBoard, known_board
from service.usecases.caller import Caller
from service.usecases.fit import check_many
from service.usecases.shop import Shop

BEST_FIRST = (Outcome.FITS, Outcome.FITS_WITH_PROGRAMMING, Outcome.CANNOT_TELL, Outcome.DOES_NOT_FIT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Destinations:
    """Where a board can go. Every answer is about the board as it is, held or sold or scrapped."""

    board: KnownBoard
    models: Mapping[ModelId, Answer]
    """Every model that its part is listed for, itself or by replacement: where it works comes first."""
    units: Mapping[Vacancy, Answer]
    """A page of the units in service that are recorded as waiting for a board of its role."""
    last: Vacancy | None
    """The last unit of the page, where further ones follow."""


def destinations(
    shop: Shop,
    caller: Caller,
    serial: str,
    *,
    market: str | None,
    size: int,
    after: Vacancy | None = None,
) -> Destinations:
    """Where one board can go. `market` is that of the models; the units that wait have their own.

    Raises NotFound for a board that is neither recorded nor readable, ImpossibleQuestion for a market
    that does not exist.
    """
    compiled = shop.catalogue()
    if market is not None and market not in compiled.catalogue.markets:
        raise ImpossibleQuestion("unknown_market", "/unit/market", market=market)
    board = known_board(shop, caller, serial)
    models = _models(compiled, board)
    waiting = shop.reader.read(partial(vacancies, roles=_roles(compiled, board), after=after, limit=size + 1))
    asked = [*_by_model(board, models, market), *_by_unit(board, waiting[:size])]
    # One gather for all. A place that this catalogue no longer has is nothing to go into.
    places: list[ModelId | Vacancy] = [*models, *waiting[:size]]
    found = zip(places, check_many(shop, caller, asked), strict=True)
    told = [(what, answer) for what, answer in found if isinstance(answer, Answer)]
    return Destinations(
        board=board,
        models=dict(sorted(_of_models(told), key=lambda each: BEST_FIRST.index(each[1].outcome))),
        units={what: answer for what, answer in told if isinstance(what, Vacancy)},
        last=waiting[size - 1] if len(waiting) > size else None,
    )


def _models(compiled: CompiledCatalogue, board: KnownBoard) -> list[ModelId]:
    """The models that some part that the board may be is listed for, in the catalogue's order."""
    reached = {model for part in board.parts for model in compiled.binding_domain.get(part, ())}
    return [model for model in compiled.models if model in reached]


def _roles(compiled: CompiledCatalogue, board: KnownBoard) -> list[RoleId]:
    known = (compiled.catalogue.parts.get(part) for part in board.parts)
    return sorted({part.role for part in known if part is not None})


def _by_model(board: KnownBoard, models: Sequence[ModelId], market: str | None) -> Iterator[Question]:
    narrowed = MarketId(market) if market is not None else None
    boards = (StatedBoard(serial=board.label.serial),)
    yield from (Question(unit=StatedUnit(model=model, market=narrowed), boards=boards) for model in models)


def _by_unit(board: KnownBoard, waiting: Sequence[Vacancy]) -> Iterator[Question]:
    for each in waiting:
        stated = StatedBoard(serial=board.label.serial, role=each.role, place=each.name)
        yield Question(unit=StatedUnit(serial=each.unit), boards=(stated,))


def _of_models(told: Iterable[tuple[ModelId | Vacancy, Answer]]) -> Iterator[tuple[ModelId, Answer]]:
    for what, answer in told:
        if not isinstance(what, Vacancy):
            yield what, answer
