"""The ledger agrees with a plain model of it, whatever is done in whatever order, corrections included."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test
from sqlalchemy import Engine

from service.domain.ledger.kinds import KINDS
from service.store.engine import writing
from service.store.rebuild import rebuild
from tests.recording.machine import Shop
from tests.store.ledgers import state_tables

HARDLY_REFUSED = {"sale_checked", "hold_placed", "exposed", "tested"}
"""Kinds that are refused never, or of a scrapped board only."""


def run(engine: Engine, examples: int) -> Counter[str]:
    """So many shops of fifty steps each, in one database; how often what was tried."""
    counted: Counter[str] = Counter()
    machine = type("AShop", (Shop,), {"engine": engine, "counted": counted})
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=examples, stateful_step_count=50, suppress_health_check=list(HealthCheck)
        ),
    )
    return counted


def rebuilt(engine: Engine) -> None:
    """The state tables made anew from the events are what stood there."""
    before = state_tables(engine)
    with writing(engine) as connection:
        rebuild(connection)
    assert state_tables(engine) == before


def test_the_ledger_agrees_with_the_model(sqlite_engine: Engine) -> None:
    counted = run(sqlite_engine, 30)
    assert counted.total() >= 1_000
    assert {told.split()[0] for told in counted} == set(KINDS)
    rebuilt(sqlite_engine)


def test_the_ledger_agrees_with_the_model_on_postgresql(postgres_engine: Engine) -> None:
    run(postgres_engine, 6)
    rebuilt(postgres_engine)


@pytest.mark.deep
def test_the_ledger_agrees_with_the_model_deep(sqlite_engine: Engine) -> None:
    counted = run(sqlite_engine, 250)
    assert counted.total() >= 10_000
    assert min(counted[f"{kind} recorded"] for kind in KINDS) >= 10, counted
    assert min(counted[f"{kind} refused"] for kind in KINDS.keys() - HARDLY_REFUSED) >= 10, counted
    rebuilt(sqlite_engine)


@pytest.mark.deep
def test_the_ledger_agrees_with_the_model_on_postgresql_deep(postgres_engine: Engine) -> None:
    assert run(postgres_engine, 60).total() >= 2_000
    rebuilt(postgres_engine)
