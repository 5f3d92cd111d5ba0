"""A board sits in one place, and a place takes one board."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.domain.ledger.event import EventKind
from service.domain.ledger.programming import policy_of
from service.domain.recording.bench import Bench, Spot, is_empty, occupant, sits, spot_in
from service.domain.recording.refusal import Instead, Refusal
from service.domain.terms import BindingPolicy, Serial


def fitting(bench: Bench) -> Iterator[Refusal]:
    """A board that goes in comes from nowhere else, into a place that is not taken."""
    data, spot = bench.data, spot_in(bench.data)
    was = sits(bench.states, data["board"])
    if was is not None and was != spot:
        yield _elsewhere(data["board"], was, (turned_up(data["board"], was),))
    there = occupant(bench.states, spot)
    if there is not None:
        yield _taken(spot, there, (taken_out(there, spot, data["policy"]),))


def meeting(bench: Bench) -> Iterator[Refusal]:
    """A board that something is told of in its place sits there."""
    data = bench.data
    if "role" not in data:
        return
    if "board" not in data:
        yield from _unread(bench, spot_in(data))
        return
    stated = data.get("policy")
    policy = policy_of(data["step"], stated) if "step" in data else stated
    yield from _met(bench, data["board"], spot_in(data), policy)
    if "naming" in data:
        naming = data["naming"]
        yield from _met(bench, naming["board"], spot_in(naming, data["unit"]), BindingPolicy.NAMES)


def _unread(bench: Bench, spot: Spot) -> Iterator[Refusal]:
    """A board whose serial could not be read comes out of a place where there is one; the board that is told
    to have been recorded there was."""
    if is_empty(bench.states, spot):
        yield Refusal(code="place_is_empty", facts=spot.facts())
    told = bench.data.get("recorded")
    if told is not None and occupant(bench.states, spot) != told:
        again = {name: value for name, value in bench.data.items() if name != "recorded"}
        instead = (Instead(kind=EventKind.REMOVED, data=again),)
        yield Refusal(code="not_recorded_there", facts={"board": told, **spot.facts()}, instead=instead)


def listing(bench: Bench) -> Iterator[Refusal]:
    """The boards of a unit that is registered, or was converted, sit nowhere else."""
    for block in bench.data.get("boards", ()):
        spot = spot_in(block, bench.data["unit"])
        yield from _met(bench, block["board"], spot, block["policy"])


def finding(bench: Bench) -> Iterator[Refusal]:
    """What turns up leaves the place where it was recorded, and the place it is in now is not taken."""
    data, states = bench.data, bench.states
    now = spot_in(data) if "unit" in data else None
    told = spot_in(data["was"]) if "was" in data else None
    was = sits(states, data["board"])
    if was is not None and was not in (told, now):
        yield _elsewhere(data["board"], was, (_found_again(data, was),))
    if told is not None and occupant(states, told) not in (None, data["board"]):
        facts = {"board": data["board"], **told.facts()}
        yield Refusal(code="not_recorded_there", facts=facts, instead=(_found_again(data, was),))
    there = occupant(states, now) if now else None
    if now is not None and there not in (None, data["board"]):
        yield _taken(now, there, (taken_out(there, now, data["policy"], kept=False),))


def arriving(bench: Bench) -> Iterator[Refusal]:
    """A board that comes into our hands sits in no unit, as far as anybody wrote down."""
    was = sits(bench.states, bench.data["board"])
    if was is not None:
        yield _elsewhere(bench.data["board"], was, (turned_up(bench.data["board"], was),))


def turned_up(board: str, was: Spot, now: Spot | None = None, policy: str | None = None) -> Instead:
    """The board turned up: in our hands, or in another place."""
    here = {**now.block(), "policy": policy} if now else {}
    data = {"board": board, "was": was.block(), **here, "in_custody": now is None}
    return Instead(kind=EventKind.FOUND, data=data)


def taken_out(board: str | None, spot: Spot, policy: str | None, *, kept: bool = True) -> Instead:
    """The board is taken out of its place; `kept` is false where that was not by us."""
    data = {"board": board, **spot.block(), "policy": policy}
    return Instead(kind=EventKind.REMOVED, data=data if kept else {**data, "kept": False})


def put_in(bench: Bench, board: str, spot: Spot, policy: str | None) -> Instead:
    """The board is put into its place."""
    unit = bench.unit(spot.unit)
    model = {"model": unit.model} if unit and unit.model else {}
    return Instead(kind=EventKind.FITTED, data={"board": board, **spot.block(), "policy": policy, **model})


def _met(bench: Bench, board: str, spot: Spot, policy: str | None) -> Iterator[Refusal]:
    was, there = sits(bench.states, board), occupant(bench.states, spot)
    if was == spot:
        return
    arrived = turned_up(board, was, spot, policy) if was else put_in(bench, board, spot, policy)
    left = () if there is None else (taken_out(there, spot, policy, kept=False),)
    if there is not None:
        yield _taken(spot, there, (*left, arrived))
    if was is not None:
        yield _elsewhere(board, was, (*left, arrived))
    elif is_empty(bench.states, spot):
        yield Refusal(code="place_is_empty", facts={"board": board, **spot.facts()}, instead=(arrived,))


def _found_again(data: Mapping[str, Any], was: Spot | None) -> Instead:
    """The same, closing the place where the board is recorded, if it is."""
    told = {name: value for name, value in data.items() if name != "was"}
    return Instead(kind=EventKind.FOUND, data={**told, "was": was.block()} if was else told)


def _elsewhere(board: str, was: Spot, instead: tuple[Instead, ...]) -> Refusal:
    return Refusal(code="fitted_elsewhere", facts={"board": board, **was.facts()}, instead=instead)


def _taken(spot: Spot, there: Serial | None, instead: tuple[Instead, ...]) -> Refusal:
    return Refusal(code="place_is_taken", facts={"board": there or "", **spot.facts()}, instead=instead)
