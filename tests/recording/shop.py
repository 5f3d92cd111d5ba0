"""A shop with the demo's catalogue and a ledger of its own, in memory or in a database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from typing import Any

from sqlalchemy import Engine

from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.ledger.event import Draft, Event
from service.domain.ledger.kinds import draft_faults
from service.domain.recording.legality import judge
from service.domain.recording.refusal import Instead, Judge, Refusal
from service.papers import read_catalogue
from service.store.append import append
from service.store.engine import writing
from tests.ledger.telling import LONG_AGO, draft, states_after

BOUND_40: Mapping[str, Any] = {"binding": "bound", "bound_model": "plover-40"}
BOUND_60: Mapping[str, Any] = {"binding": "bound", "bound_model": "plover-60"}
AT_MAIN: Mapping[str, Any] = {"role": "main", "policy": "names"}
AT_PANEL: Mapping[str, Any] = {"role": "panel", "policy": "follows"}
LEFT: Mapping[str, Any] = {"role": "bumper", "place": "left", "policy": "free"}
RIGHT: Mapping[str, Any] = {**LEFT, "place": "right"}


@cache
def catalogue() -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(demo_catalogue()))


@cache
def law() -> Judge:
    return partial(judge, catalogue())


def held_against(history: Sequence[Draft], event: Draft) -> tuple[Refusal, ...]:
    """What is held against an event after a history, in memory."""
    return law()(states_after(*history), event)


def record(engine: Engine, *drafts: Draft) -> list[Event]:
    """Record the drafts, one transaction each, as the service does."""
    return [_one(engine, each) for each in drafts]


def _one(engine: Engine, each: Draft) -> Event:
    with writing(engine) as connection:
        return append(connection, [each], judge=law())[0]


def completed(instead: Instead) -> Draft:
    """The event that a refusal proposes, with what only a person can say."""
    said = {
        "corrected": {"reason": "mistyped"},
        "hold_lifted": {"confirmed_by": "owner", "evidence": "letter on file"},
    }
    told = Draft(kind=instead.kind, occurred_at=LONG_AGO, data={**said.get(instead.kind, {}), **instead.data})
    assert list(draft_faults(told)) == []
    return replace(told, data=dict(told.data))


def plover(unit: str = "U1", model: str = "plover-40", main: str = "M1", panel: str = "P1") -> Draft:
    """A registered unit with the pair that the factory fitted."""
    bound = {"binding": "bound", "bound_model": model}
    return draft(
        "registered",
        unit=unit,
        model=model,
        boards=[
            {"board": main, "part": "MN-4100", **AT_MAIN, **bound, "holds": unit},
            {"board": panel, "part": "PN-2400", **AT_PANEL, **bound},
        ],
    )


def bare(unit: str = "U1", model: str = "plover-40") -> Draft:
    """A registered unit of which no board is known."""
    return draft("registered", unit=unit, model=model)


def received(board: str, part: str = "MN-4100", **reading: Any) -> Draft:
    return draft("received", board=board, part=part, **reading)


def fitted(board: str, unit: str = "U1", **at: Any) -> Draft:
    return draft("fitted", board=board, unit=unit, **(at or AT_MAIN))


def removed(board: str, unit: str = "U1", **at: Any) -> Draft:
    return draft("removed", board=board, unit=unit, **(at or AT_MAIN))


def entered(board: str, unit: str = "U1", model: str = "plover-40", how: str = "finished") -> Draft:
    """The unit's serial entered into its main board."""
    return draft(f"step_{how}", step="enter_serial", board=board, unit=unit, model=model, role="main")


def assigned(board: str, unit: str = "U1", model: str = "plover-40", how: str = "finished") -> Draft:
    """A panel assigned its model by the main board beside it."""
    return draft(f"step_{how}", step="assign", board=board, unit=unit, model=model, role="panel")


def introduced(board: str, naming: str, unit: str = "U1", how: str = "finished") -> Draft:
    return draft(
        f"step_{how}",
        step="introduce",
        board=board,
        unit=unit,
        role="panel",
        naming={"board": naming, "role": "main"},
    )
