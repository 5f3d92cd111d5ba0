"""Random histories of a few boards and units: every kind, in any order, legal or not, corrections too.

The fold must give every one of them a meaning; which of them may be recorded is another matter.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from hypothesis import strategies as st

from service.domain.ledger.event import Draft
from tests.ledger.telling import LONG_AGO

BOARDS = ("B1", "B2", "B3", "B4")
UNITS = ("U1", "U2")
MODELS = ("plover-40", "plover-60")
SERIAL_FIELDS = frozenset({"recorded", "board", "unit", "into", "holds"})

releases = st.sampled_from(["1.0", "1.1", "2.0"])
boards, units, models = st.sampled_from(BOARDS), st.sampled_from(UNITS), st.sampled_from(MODELS)
placed = st.sampled_from(
    [
        {"role": "main", "policy": "names"},
        {"role": "panel", "policy": "follows"},
        {"role": "bumper", "place": "left", "policy": "free"},
    ]
)
places = placed.map(lambda at: {key: value for key, value in at.items() if key != "policy"})
namings = st.fixed_dictionaries({"board": boards, "role": st.just("main")})
readings = st.one_of(
    st.just({}),
    st.just({"binding": "blank"}),
    st.just({"binding": "used"}),
    st.builds(lambda model: {"binding": "bound", "bound_model": model}, models),
    st.builds(lambda model, unit: {"binding": "bound", "bound_model": model, "holds": unit}, models, units),
)
descriptions = st.builds(
    lambda reading, more: reading | more,
    readings,
    st.fixed_dictionaries({}, optional={"part": st.sampled_from(["p-1", "p-2"]), "release": releases}),
)


def _told(kind: str, *parts: st.SearchStrategy[dict[str, Any]]) -> st.SearchStrategy[Draft]:
    """Drafts of a kind whose data is put together from parts."""
    return st.tuples(*parts).map(lambda blocks: Draft(kind=kind, occurred_at=LONG_AGO, data=_merged(blocks)))


def _merged(blocks: Iterable[dict[str, Any]]) -> dict[str, Any]:
    return {key: value for block in blocks for key, value in block.items()}


def _with(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(fields)


def _maybe(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional=fields)


board, unit = _with(board=boards), _with(unit=units)
either = st.one_of(board, unit)
nowhere: st.SearchStrategy[dict[str, Any]] = st.just({})
sitting = st.builds(lambda at, where: at | where, placed, unit)
numbers = st.integers(1, 25)

factory_boards = st.lists(
    st.builds(lambda who, at, told: who | at | told, board, placed, descriptions),
    max_size=3,
    unique_by=(lambda block: block["board"], lambda block: block["role"]),
)
conversion = st.sampled_from([{"unit": "U1", "into": "U2"}, {"unit": "U2", "into": "U1"}])
registered = st.one_of(
    _told("registered", unit, _maybe(model=models, market=st.just("mainland"), boards=factory_boards)),
    _told("registered", board, descriptions),
)
pair_reading = st.builds(
    lambda where, told: {**where, "role": "panel", "policy": "follows", **told},
    unit,
    st.one_of(_with(introduced=st.just(False)), _with(introduced=st.just(True), naming=namings)),
)
read_out = _told("read_out", board, descriptions, st.one_of(nowhere, sitting, pair_reading))
binding_step = st.builds(
    lambda step, data: {"step": step, **data},
    st.sampled_from(["enter_serial", "assign"]),
    st.builds(
        lambda who, where, model, at: who | where | model | at,
        board,
        unit,
        _with(model=models),
        st.one_of(nowhere, places),
    ),
)
introduce_step = st.builds(
    lambda who, where, naming: {"step": "introduce", "role": "panel", **who, **where, **naming},
    board,
    unit,
    _with(naming=namings),
)
load_step = st.builds(
    lambda who, where: {"step": "load", **who, **where}, board, st.one_of(nowhere, unit, sitting)
)
steps = st.one_of(binding_step, introduce_step, load_step)
was = st.builds(lambda where, at: {"was": where | at}, unit, places)

events = st.one_of(
    registered,
    read_out,
    _told("received", board, descriptions),
    _told("fitted", board, sitting, _maybe(model=models)),
    _told("removed", board, sitting, _maybe(kept=st.booleans())),
    _told("removed", sitting),
    _told("removed", sitting, st.builds(lambda who: {"recorded": who["board"]}, board)),
    _told(
        "found", board, st.one_of(nowhere, was), st.one_of(nowhere, sitting), _with(in_custody=st.booleans())
    ),
    _told("step_finished", steps),
    _told("step_finished", load_step, _with(release=releases)),
    *[_told(kind, steps) for kind in ("step_started", "step_failed") for _ in range(2)],
    _told("accessory_fitted", unit, _with(accessory=st.just("battery_pack"), amount=st.integers(0, 2))),
    _told("tested", board, _with(passed=st.booleans())),
    _told("exposed", board, _with(to=st.just("water")), _maybe(certain=st.booleans())),
    _told("hold_placed", either, _with(hold=st.sampled_from(["recalled", "reported_stolen"]))),
    _told(
        "hold_lifted",
        either,
        _with(placed=numbers, confirmed_by=st.just("owner"), evidence=st.just("letter on file")),
    ),
    _told(
        "sale_checked",
        st.one_of(board, _with(label=st.just("B9"))),
        _with(check=st.just("check-1")),
        _maybe(unit=units),
    ),
    _told("sold", board, _maybe(unit=units, check=st.just("check-1"), customer=st.just("customer-7"))),
    _told("returned", board, descriptions),
    _told("scrapped", either),
    _told("dismantled", unit),
    _told("converted", conversion, _with(model=models), _maybe(boards=factory_boards)),
)


def _is_sound(event: Draft) -> bool:
    """Leaves out a board that is introduced to itself, which no draft may say."""
    return "naming" not in event.data or event.data["naming"]["board"] != event.data["board"]


@st.composite
def histories(draw: st.DrawFn, max_size: int = 25) -> list[Draft]:
    """Events of every kind; about one in eight is a correction of an earlier one."""
    told: list[Draft] = []
    open_: list[int] = []
    for event in draw(st.lists(events.filter(_is_sound), min_size=1, max_size=max_size)):
        if open_ and draw(st.integers(0, 7)) == 0:
            withdraws = draw(st.sampled_from(open_))
            open_.remove(withdraws)
            told.append(_correction(draw, withdraws))
        else:
            open_.append(len(told) + 1)
            told.append(event)
    return told


def _correction(draw: st.DrawFn, withdraws: int) -> Draft:
    reading = draw(st.one_of(nowhere, st.builds(lambda who, told: who | told, board, readings)))
    data = {"withdraws": withdraws, "reason": "mistyped", **reading}
    return Draft(kind="corrected", occurred_at=LONG_AGO, data=data)


def renamed(data: Any, mark: str) -> Any:
    """The same data of boards and units of its own: every serial ends in the mark."""
    if isinstance(data, list):
        return [renamed(entry, mark) for entry in data]
    if not isinstance(data, dict):
        return data
    return {
        key: f"{value}{mark}" if isinstance(value, str) and key in SERIAL_FIELDS else renamed(value, mark)
        for key, value in data.items()
    }
