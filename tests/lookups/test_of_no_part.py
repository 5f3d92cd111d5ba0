"""Boards of which nobody recorded a part: those in stock, tested ones first, on both databases."""

from __future__ import annotations

from sqlalchemy import Engine, event

from service.domain.facts.records import BoardRecord
from service.domain.terms import PartNumber, Serial
from service.store.engine import reading
from service.store.stock import of_no_part
from tests.lookups.shelf import put


def test_they_come_tested_ones_first(engine: Engine) -> None:
    boards = [
        BoardRecord(serial=Serial(f"B{at}"), version=1, in_custody=at != 5, tested=at % 3 == 0)
        for at in range(8)
    ]
    with_part = BoardRecord(serial=Serial("B9"), version=1, in_custody=True, part=PartNumber("MA"))
    put(engine, "heron", [*boards, with_part])
    with reading(engine) as connection:
        assert of_no_part(connection, 20) == ["B0", "B3", "B6", "B1", "B2", "B4", "B7"]
        assert of_no_part(connection, 4) == ["B0", "B3", "B6", "B1"]


def test_they_are_read_by_index(sqlite_engine: Engine) -> None:
    sent: list[str] = []
    event.listen(sqlite_engine, "before_cursor_execute", lambda *told: sent.append(str(told[2])))
    with reading(sqlite_engine) as connection:
        of_no_part(connection, 5)
        plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {sent[-1]}", (5,) * sent[-1].count("?")).all()
    looked_up = [row.detail for row in plan if "boards" in row.detail]
    assert len(looked_up) == 2
    assert all("ix_boards_stock_part" in each for each in looked_up), looked_up
