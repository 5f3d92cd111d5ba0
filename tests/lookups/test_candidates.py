"""Candidates from stock: one list in a stated order, page by page, whatever lies on the shelf."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import cycle
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, delete, event, insert, text

from service.domain.facts.records import BindingRecord, BoardRecord
from service.domain.ledger.states import BoardState, new_unit
from service.domain.terms import Fit, PartNumber, Serial
from service.store.board_rows import board_row
from service.store.engine import reading, writing
from service.store.stock import Bound, Group, Shelf, Shelved, shelved
from service.store.tables import BOARDS, UNITS
from service.store.unit_rows import unit_row
from service.usecases.caller import STAFF
from service.usecases.candidates import Candidate, Candidates, Wanted, candidates
from service.usecases.shelving import Position
from service.usecases.shop import Shop
from tests.ledger.telling import AT_PANEL, draft
from tests.lookups.shelf import ELSEWHERE, UNIT, a_stock, add, bound, expected, put, shop_on, taken
from tests.store.ledgers import tell

EXAMPLES = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
FEWER = settings(EXAMPLES, max_examples=25)
seeds = st.integers(0, 2**32 - 1)
roles, models = st.sampled_from(["main", "panel", "lamp"]), st.sampled_from(["heron", "stork"])


def page(shop: Shop, role: str, size: int, after: Position | None = None) -> Candidates:
    return candidates(shop, STAFF, Wanted(serial=UNIT, role=role), size=size, after=after)


def pages(shop: Shop, role: str, sizes: Iterator[int]) -> Iterator[list[Candidate]]:
    """All pages, each of a size of its own."""
    after: Position | None = None
    while True:
        size = next(sizes)
        found = page(shop, role, size, after)
        assert len(found.items) == size or not found.more
        yield list(found.items)
        if not found.more:
            return
        assert found.items, "a page that says that more follows shows something"
        after = found.items[-1].position


def serials(found: Sequence[Candidate]) -> list[str]:
    return [each.record.serial for each in found]


@EXAMPLES
@given(seed=seeds, role=roles, model=models, turn=st.integers(1, 7))
def test_the_pages_together_are_the_whole_list(
    sqlite_engine: Engine, seed: int, role: str, model: str, turn: int
) -> None:
    stock = a_stock(seed, role)
    put(sqlite_engine, model, stock)
    sizes = cycle([turn, 7, 1, 3])
    found = [serial for each in pages(shop_on(sqlite_engine), role, sizes) for serial in serials(each)]
    assert found == expected(stock, role, model)


@FEWER
@given(seed=seeds, role=roles, model=models, size=st.integers(1, 4))
def test_on_postgresql_too(postgres_engine: Engine, seed: int, role: str, model: str, size: int) -> None:
    stock = a_stock(seed, role)
    put(postgres_engine, model, stock)
    found = [
        each for some in pages(shop_on(postgres_engine), role, iter(lambda: size, None)) for each in some
    ]
    assert serials(found) == expected(stock, role, model)


@EXAMPLES
@given(
    seed=seeds,
    role=roles,
    model=models,
    size=st.integers(1, 4),
)
def test_what_comes_and_goes_between_pages_causes_no_double_and_no_skip(
    sqlite_engine: Engine,
    seed: int,
    role: str,
    model: str,
    size: int,
) -> None:
    stock, later = a_stock(seed, role), a_stock(seed + 1, role, start=10_000)
    put(sqlite_engine, model, stock)
    gone = Random(seed).sample(stock, len(stock) // 3)
    found: list[str] = []
    for at, each in enumerate(pages(shop_on(sqlite_engine), role, iter(lambda: size, None))):
        found += serials(each)
        if at == 0:
            leave(sqlite_engine, gone)
            add(sqlite_engine, later)
    assert len(found) == len(set(found))
    stayed = [board for board in stock if board not in gone]
    assert [serial for serial in found if serial in set(expected(stayed, role, model))] == expected(
        stayed, role, model
    )
    assert set(found) <= set(expected(stock + later, role, model))


def leave(engine: Engine, gone: Sequence[BoardRecord]) -> None:
    with writing(engine) as connection:
        connection.execute(delete(BOARDS).where(BOARDS.c.serial.in_([board.serial for board in gone])))
    add(engine, [taken(board) for board in gone])


@EXAMPLES
@given(seed=seeds, role=roles, model=models)
def test_what_is_shown_may_fit_and_is_told_as_it_is_known(
    sqlite_engine: Engine, seed: int, role: str, model: str
) -> None:
    put(sqlite_engine, model, a_stock(seed, role))
    for each in page(shop_on(sqlite_engine), role, 100).items:
        assert each.answer.fit is not Fit.NO
        values = each.record.binding.values
        match each.bound:
            case Bound.MODEL:
                assert values == frozenset({model})
            case Bound.BLANK:
                assert values == frozenset({"blank"})
            case Bound.NOT_KNOWN:
                assert values is None or len(values) > 1
                # Blank or this very model: it fits whichever of the two it is. Who holds no serial is blank.
                fits = values is not None and values <= {"blank", model}
                fits = fits or each.record.held_serial == ""
                assert fits or each.answer.fit is Fit.UNKNOWN
            case Bound.THIS_UNIT:
                assert each.record.held_serial == UNIT
            case Bound.ANYTHING:
                assert role == "lamp"


def a_board(serial: str, part: str = "MA", **known: Any) -> BoardRecord:
    return BoardRecord(serial=Serial(serial), version=1, part=PartNumber(part), in_custody=True, **known)


def test_where_none_can_work_none_is_read_and_it_says_why(sqlite_engine: Engine) -> None:
    """The panel that stays was programmed for another machine, so no main board works beside it."""
    foreign = {"board": "B1", "part": "PA", **AT_PANEL, "binding": "bound", "bound_model": "egret"}
    blank = {"part": "MA", "binding": "blank"}
    tell(
        sqlite_engine,
        draft("registered", unit=UNIT, model="heron", boards=[foreign]),
        *(draft("received", board=f"B2{at}", **blank) for at in range(9)),
    )
    sent: list[str] = []
    event.listen(sqlite_engine, "before_cursor_execute", lambda *told: sent.append(str(told[2])))
    found = page(shop_on(sqlite_engine), "main", 5)
    assert found.items == []
    assert not found.more
    assert found.none is not None
    assert found.none.fit is Fit.NO
    assert not [statement for statement in sent if "CAST" in statement]


def test_boards_that_are_dropped_one_by_one_leave_no_page_short(sqlite_engine: Engine) -> None:
    """Records that contradict each other lie in the group of what is not known; most of these surely do
    not fit, and the page is filled all the same."""
    no = [a_board(f"B{at:03}", binding=bound("egret", "stork", contradiction=True)) for at in range(61)]
    perhaps = [a_board(f"B{at:03}") for at in (70, 80, 90)]
    put(sqlite_engine, "heron", [*no, *perhaps])
    first = page(shop_on(sqlite_engine), "main", 2)
    assert (serials(first.items), first.more) == (["B070", "B080"], True)
    last = page(shop_on(sqlite_engine), "main", 2, first.items[-1].position)
    assert (serials(last.items), last.more) == (["B090"], False)


def test_boards_of_machines_in_service_are_passed_over_before_they_are_looked_at(
    sqlite_engine: Engine,
) -> None:
    """Old main boards that hold the serial of a machine in service may be many; none of them is gathered."""
    heron = bound("heron")
    held = [a_board(f"B{at:03}", binding=heron, held_serial=ELSEWHERE) for at in range(60)]
    put(sqlite_engine, "heron", [*held, a_board("B900", binding=heron, held_serial=Serial(""))])
    sent: list[str] = []
    event.listen(sqlite_engine, "before_cursor_execute", lambda *told: sent.append(str(told[2])))
    found = page(shop_on(sqlite_engine), "main", 5)
    assert serials(found.items) == ["B900"]
    assert len(sent) == 4, "the unit, one page of the shelf, the boards on it, and those of no part"


def test_the_random_stocks_are_worth_listing() -> None:
    """Each of the five kinds of binding, both tested and not, boards with and without a price, and flaws."""
    listed = [(role, a_stock(seed, role)) for seed in range(40) for role in ("main", "panel", "lamp")]
    lengths = [len(expected(stock, role, "heron")) for role, stock in listed]
    assert sum(length >= 8 for length in lengths) > len(lengths) / 3
    assert min(lengths) == 0
    assert any(len(stock) > 20 > len(expected(stock, role, "heron")) + 8 for role, stock in listed)


def test_a_price_that_changed_between_two_pages_skips_nothing_that_is_dearer(sqlite_engine: Engine) -> None:
    """The cursor tells a merit that no board has any more: the list goes on where it would stand."""
    put(sqlite_engine, "heron", [a_board(f"B{at}", binding=bound("blank")) for at in range(3)])
    shop = shop_on(sqlite_engine)
    whole = page(shop, "main", 10)
    cheaper = whole.items[0].position
    before = Position(cheaper.merit._replace(price=cheaper.merit.price - 1), Serial("B9"))
    assert serials(page(shop, "main", 10, before).items) == serials(whole.items)


SHELF = Shelf(
    unit=UNIT,
    foreign_serials=False,
    groups=[
        Group(rank=rank, part="MA", bound=bound_to, tested=True, model="heron", names=True)  # type: ignore[arg-type] # plain texts for short
        for rank, bound_to in enumerate(Bound)
    ],
)
ROWS = 20_000


def filled(engine: Engine) -> None:
    """A shop's boards, most of them sold long ago, and the planner told of them."""
    rows = [board_row(_one_of_many(at)) for at in range(ROWS)]
    units = [unit_row(new_unit(Serial(f"U{at:06}"))) for at in range(ROWS)]
    with writing(engine) as connection:
        connection.execute(insert(BOARDS), rows)
        connection.execute(insert(UNITS), units)
        connection.execute(text("ANALYZE"))


def _one_of_many(at: int) -> BoardState:
    bindings = (bound("heron"), bound("egret"), bound("blank"), BindingRecord())
    known = {"tested": at % 3 == 0, "sold": at % 5 > 0, "binding": bindings[at % 4]}
    part, held = ("MA", "MB", "MC")[at % 7 % 3], Serial(f"U{at:06}")
    return BoardState(record=a_board(f"B{at:06}", part=part, held_serial=held, **known))


def plan_of(engine: Engine, explain: str) -> list[str]:
    """The plan of the very statement that is sent."""
    sent: list[tuple[str, object]] = []
    event.listen(engine, "before_cursor_execute", lambda *told: sent.append((told[2], told[3])))
    with reading(engine) as connection:
        shelved(connection, SHELF, Shelved(1, Serial("B000100")), 20)
        statement, values = sent[-1]
        return [str(row[-1]) for row in connection.exec_driver_sql(f"{explain} {statement}", values)]  # type: ignore[arg-type] # as the driver had them


def test_on_sqlite_each_group_is_one_range_of_an_index(sqlite_engine: Engine) -> None:
    filled(sqlite_engine)
    plan = plan_of(sqlite_engine, "EXPLAIN QUERY PLAN")
    assert [line for line in plan if line.startswith(("SCAN boards", "SCAN units"))] == []
    searches = [line for line in plan if line.startswith("SEARCH boards")]
    assert len(searches) == len(Bound) - 1, "the groups before the last board's are not read again"
    assert all("INDEX ix_boards_stock" in line and "serial>?" in line for line in searches)


def test_on_postgresql_each_group_is_one_range_of_an_index(postgres_engine: Engine) -> None:
    filled(postgres_engine)
    plan = plan_of(postgres_engine, "EXPLAIN")
    assert [line for line in plan if "Seq Scan" in line] == []
    assert [line for line in plan if "ix_boards_stock" in line]


@pytest.mark.parametrize("groups", [1, 150, 450])
def test_many_groups_are_read_in_order_whatever_their_number(sqlite_engine: Engine, groups: int) -> None:
    put(sqlite_engine, "heron", [a_board(f"B{at}", binding=bound("blank")) for at in range(3)])
    repeated = [SHELF.groups[2]] * groups
    several = [
        Group(rank=at, part=g.part, bound=g.bound, tested=False, names=True) for at, g in enumerate(repeated)
    ]
    shelf = Shelf(unit=UNIT, groups=several, foreign_serials=False)
    with reading(sqlite_engine) as connection:
        found = shelved(connection, shelf, None, 10_000)
    assert found == [Shelved(rank, Serial(f"B{at}")) for rank in range(groups) for at in range(3)]
