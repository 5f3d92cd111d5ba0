"""Random stocks, and what the list of candidates must be: told from the records alone, by one sort.

The oracle shares nothing with the service but the values of the records: prices, models and the order
are written down here once more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache, partial
from pathlib import Path
from random import Random
from typing import Any

from sqlalchemy import Connection, Engine, delete, insert

from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.records import BindingRecord, BoardRecord, Hold, UnitRecord
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import Condition, ModelId, PartNumber, RoleId, Serial
from service.papers import read_catalogue
from service.store.board_rows import board_row
from service.store.engine import reading, writing
from service.store.gather import gather
from service.store.reader import Found, Reader
from service.store.tables import BOARDS, UNITS
from service.store.unit_rows import unit_row
from service.usecases.shop import Shop

UNIT, ELSEWHERE, ENDED = Serial("U0001"), Serial("U0002"), Serial("U0003")
NEW: Mapping[str, float] = {"MA": 90, "MB": 9.5, "MC": 90, "PA": 20, "LA": 7, "LB": 7}
USED: Mapping[str, float] = {"MA": 40, "MC": 40, "PA": 12}
PARTS = {"main": ("MA", "MB", "MC"), "panel": ("PA", "PB"), "lamp": ("LA", "LB", "LC")}
"""The parts of each role that are for a Heron and a Stork; MX is for neither."""
OTHER_MODELS = frozenset({"egret"})


@cache
def compiled() -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(Path(__file__).with_name("shelf.yaml").read_text("utf-8")))


class GivenBack(Reader):
    """A reader that keeps no connection, since an example makes a shop of its own."""

    def read(self, work: Callable[[Connection], Found]) -> Found:
        with reading(self._engine) as connection:
            return work(connection)


def shop_on(engine: Engine) -> Shop:
    """A shop on that database and the catalogue beside this file."""
    reader = GivenBack(engine)
    return Shop(
        catalogue=compiled,
        catalogue_at=lambda _: compiled(),
        gather=lambda boards, units, as_of: reader.read(
            partial(gather, board_serials=boards, unit_serials=units, as_of=as_of)
        ),
        reader=reader,
        database=engine,
        ready=lambda: True,
    )


def put(engine: Engine, model: str, boards: Iterable[BoardRecord]) -> None:
    """A database with these boards alone, and three units: that of the list, one elsewhere, one ended."""
    units = [
        UnitRecord(serial=UNIT, version=1, registered=True, in_service=True, model=ModelId(model)),
        UnitRecord(serial=ELSEWHERE, version=1, registered=True, in_service=True, model=ModelId(model)),
        UnitRecord(serial=ENDED, version=2, registered=True, model=ModelId(model)),
    ]
    with writing(engine) as connection:
        connection.execute(delete(BOARDS))
        connection.execute(delete(UNITS))
        connection.execute(insert(UNITS), [unit_row(UnitState(record=unit)) for unit in units])
    add(engine, boards)


def add(engine: Engine, boards: Iterable[BoardRecord]) -> None:
    rows = [board_row(BoardState(record=board)) for board in boards]
    if rows:
        with writing(engine) as connection:
            connection.execute(insert(BOARDS), rows)


def bound(*values: str, contradiction: bool = False) -> BindingRecord:
    return BindingRecord(values=frozenset(values), contradiction=contradiction)


BINDINGS = (
    BindingRecord(),
    BindingRecord(any_model=True),
    bound("blank"),
    bound("heron"),
    bound("stork"),
    bound("egret"),
    bound("blank", "heron"),
    bound("heron", "stork", contradiction=True),
    bound("egret", "stork", contradiction=True),
)
NOBODYS = Serial("")
USABLE = frozenset({Condition.USABLE})
FLAWS: Sequence[Mapping[str, Any]] = (
    {"in_custody": False},
    {"sold": True},
    {"holds": (Hold(kind="recalled", since=1),)},
    {"in_unit": ELSEWHERE, "role": RoleId("main")},
    {"conditions": frozenset({Condition.USABLE, Condition.EXPOSED})},
    {"conditions": frozenset({Condition.EXPOSED})},
    {"part": PartNumber("MX")},
    {"part": None},
)
"""Why a board may not lie on the shelf, or be nothing for the unit; each alone keeps it off the list."""


def a_stock(seed: int, role: str, start: int = 0, most: int = 40) -> list[BoardRecord]:
    """Boards of the parts of a role, whose serials stand in no order of theirs; one in four has a flaw."""
    chance = Random(seed)
    numbers = chance.sample(range(start, start + 10_000), chance.randint(0, most))
    return [_board(chance, role, number) for number in numbers]


def _board(chance: Random, role: str, number: int) -> BoardRecord:
    binding = chance.choice(BINDINGS)
    board = BoardRecord(
        serial=Serial(f"B{number:05}"),
        version=1,
        part=PartNumber(chance.choice(PARTS[role])),
        binding=binding,
        held_serial=chance.choice(_holders(binding)) if role == "main" else None,
        in_custody=True,
        tested=chance.random() < 0.5,
    )
    return board._replace(**chance.choice(FLAWS)) if chance.random() < 0.25 else board


def _holders(binding: BindingRecord) -> Sequence[Serial | None]:
    """Whose serial a board may hold: a blank one nobody's, one that was programmed somebody's."""
    if binding.values == frozenset({"blank"}):
        return (None, NOBODYS)
    bound_for_sure = binding.any_model or (binding.values is not None and "blank" not in binding.values)
    return (None, UNIT, ELSEWHERE, ENDED) if bound_for_sure else (None, NOBODYS, UNIT, ELSEWHERE, ENDED)


def expected(stock: Sequence[BoardRecord], role: str, model: str) -> list[str]:
    """The serials of the whole list, by one sort over everything."""
    listed = [board for board in stock if _is_listed(board, role, model)]
    return [board.serial for board in sorted(listed, key=partial(_place, model=model))]


def _is_listed(board: BoardRecord, role: str, model: str) -> bool:
    in_stock = board.in_custody and not board.in_unit and not board.sold and not board.holds
    if not in_stock or board.conditions != USABLE or board.part not in PARTS[role]:
        return False
    return role == "lamp" or (_may_be_bound(board, model) and _may_hold(board, role, model))


def _may_be_bound(board: BoardRecord, model: str) -> bool:
    values = board.binding.values
    # A board that holds somebody's serial was programmed: it is not blank.
    possible = {model} if board.held_serial else {"blank", model}
    return values is None or bool(values & possible)


def _may_hold(board: BoardRecord, role: str, model: str) -> bool:
    return role != "main" or model == "stork" or board.held_serial != ELSEWHERE


def _place(board: BoardRecord, model: str) -> tuple[Any, ...]:
    """This unit's own, its model's, blank or free, not known; tested; price; serial."""
    values = board.binding.values
    if board.part is not None and board.part.startswith("L"):
        kind = 2
    elif board.held_serial == UNIT:
        kind = 0
    elif values == frozenset({model}):
        kind = 1
    elif values == frozenset({"blank"}):
        kind = 2
    else:
        kind = 3
    price = (NEW if kind == 2 else USED).get(str(board.part))
    return kind, not board.tested, price is None, price or 0, board.serial


def taken(board: BoardRecord) -> BoardRecord:
    """The same board after somebody took it from the shelf."""
    return board._replace(in_custody=False)
