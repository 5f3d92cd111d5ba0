"""Each thing that can be held against an event, with the event that would be right instead."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from sqlalchemy import Engine

from service.domain.ledger.event import Draft
from service.domain.recording.legality import CODES
from service.store.engine import reading
from service.store.errors import NotLegal
from service.store.ledger import last_number
from service.words.recording_texts import MEANINGS, REFUSALS
from tests.ledger.telling import draft
from tests.recording.shop import (
    AT_MAIN,
    AT_PANEL,
    BOUND_60,
    LEFT,
    RIGHT,
    assigned,
    bare,
    completed,
    entered,
    fitted,
    held_against,
    introduced,
    plover,
    received,
    record,
    removed,
)

BLANK = {"binding": "blank"}
BLANK_PANEL = [fitted("P9", **AT_PANEL), draft("read_out", board="P9", unit="U1", **AT_PANEL, **BLANK)]
BLANK_MAIN = [fitted("B1"), draft("read_out", board="B1", unit="U1", **AT_MAIN, **BLANK)]
"""Fitted and then read: what was blank on the shelf may be bound by the time it is fitted."""
SCRAPPED = draft("scrapped", board="B1")
HELD = draft("hold_placed", board="B1", hold="recalled")
SOLD = draft("sold", board="B1")
WAS_MAIN = {"unit": "U1", "role": "main"}


@dataclass(frozen=True, kw_only=True)
class Case:
    """After a history an event is refused. `mended`: it may be recorded after what is proposed instead."""

    history: list[Draft]
    event: Draft
    code: str
    instead: list[str]
    mended: bool = True


CASES = {
    "a board is fitted in two units": Case(
        history=[plover(), bare("U2")],
        event=fitted("M1", "U2"),
        code="fitted_elsewhere",
        instead=["found"],
    ),
    "a board is fitted in two places of one unit": Case(
        history=[bare(), fitted("B1", **LEFT)],
        event=fitted("B1", **RIGHT),
        code="fitted_elsewhere",
        instead=["found"],
    ),
    "a board is removed from where it is not recorded": Case(
        history=[plover(), bare("U2")],
        event=removed("M1", "U2"),
        code="fitted_elsewhere",
        instead=["found"],
    ),
    "a board is read out in a unit where it is not recorded": Case(
        history=[plover(), bare("U2")],
        event=draft("read_out", board="M1", unit="U2", **AT_MAIN),
        code="fitted_elsewhere",
        instead=["found"],
    ),
    "a board recorded in a unit comes over the counter": Case(
        history=[plover()], event=received("M1"), code="fitted_elsewhere", instead=["found"]
    ),
    "a unit is registered with a board of another one": Case(
        history=[plover()],
        event=plover("U2", main="M1", panel="P2"),
        code="fitted_elsewhere",
        instead=["found"],
    ),
    "a unit is converted with a board of another one": Case(
        history=[plover(), plover("U2", main="M2", panel="P2")],
        event=draft(
            "converted", unit="U1", into="U3", model="plover-60", boards=[{"board": "P2", **AT_PANEL}]
        ),
        code="fitted_elsewhere",
        instead=["removed", "found"],
    ),
    "a found board is said to have been elsewhere than recorded": Case(
        history=[plover(), bare("U2")],
        event=draft("found", board="M1", was={"unit": "U2", "role": "main"}, in_custody=True),
        code="fitted_elsewhere",
        instead=["found"],
        mended=False,
    ),
    "a found board is said to come from another board's place": Case(
        history=[plover(), received("B1")],
        event=draft("found", board="B1", was=WAS_MAIN, in_custody=True),
        code="not_recorded_there",
        instead=["found"],
        mended=False,
    ),
    "a board goes into a place that is taken": Case(
        history=[plover(), received("B1")], event=fitted("B1"), code="place_is_taken", instead=["removed"]
    ),
    "a board is fitted where it sits": Case(
        history=[plover()], event=fitted("M1"), code="place_is_taken", instead=["removed"]
    ),
    "another board is read out in a place than the one recorded": Case(
        history=[plover()],
        event=draft("read_out", board="B1", unit="U1", **AT_MAIN),
        code="place_is_taken",
        instead=["removed", "fitted"],
    ),
    "a board turns up in a place that is taken": Case(
        history=[plover()],
        event=draft("found", board="B1", unit="U1", **AT_MAIN, in_custody=False),
        code="place_is_taken",
        instead=["removed"],
    ),
    "a main board is named that sits elsewhere": Case(
        history=[plover(), plover("U2", main="M2", panel="P2")],
        event=introduced("P1", "M2"),
        code="place_is_taken",
        instead=["removed", "found"],
    ),
    "a board is removed from an empty place": Case(
        history=[plover(), removed("M1")], event=removed("M1"), code="place_is_empty", instead=["fitted"]
    ),
    "a board whose serial nobody can read is removed from an empty place": Case(
        history=[plover(), removed("M1")],
        event=draft("removed", unit="U1", **AT_MAIN),
        code="place_is_empty",
        instead=[],
        mended=False,
    ),
    "another board than is told was recorded where one came out": Case(
        history=[plover(), received("B1")],
        event=draft("removed", unit="U1", recorded="B1", **AT_MAIN),
        code="not_recorded_there",
        instead=["removed"],
        mended=False,
    ),
    "a step is done in an empty place": Case(
        history=[plover(), removed("M1"), received("B1", **BLANK)],
        event=entered("B1"),
        code="place_is_empty",
        instead=["fitted"],
    ),
    "a board goes into a unit that was dismantled": Case(
        history=[bare(), draft("dismantled", unit="U1")],
        event=fitted("B1"),
        code="unit_has_ended",
        instead=["corrected"],
    ),
    "a board comes out of a unit that was scrapped": Case(
        history=[plover(), draft("scrapped", unit="U1")],
        event=removed("M1"),
        code="unit_has_ended",
        instead=["found"],
        mended=False,
    ),
    "a unit that was converted is dismantled": Case(
        history=[bare(), draft("converted", unit="U1", into="U2", model="plover-60")],
        event=draft("dismantled", unit="U1"),
        code="unit_has_ended",
        instead=["corrected"],
    ),
    "an accessory is fitted to a unit that was dismantled": Case(
        history=[bare(), draft("dismantled", unit="U1")],
        event=draft("accessory_fitted", unit="U1", accessory="battery_pack", amount=2),
        code="unit_has_ended",
        instead=["corrected"],
    ),
    "a unit is converted into one that is registered": Case(
        history=[bare(), bare("U2", "plover-60")],
        event=draft("converted", unit="U1", into="U2", model="plover-60"),
        code="serial_of_another_unit",
        instead=[],
        mended=False,
    ),
    "a scrapped board is fitted": Case(
        history=[bare(), received("B1"), SCRAPPED],
        event=fitted("B1"),
        code="board_is_scrapped",
        instead=["corrected"],
    ),
    "a scrapped board is tested": Case(
        history=[received("B1"), SCRAPPED],
        event=draft("tested", board="B1", passed=True),
        code="board_is_scrapped",
        instead=["corrected"],
    ),
    "a scrapped board is sold": Case(
        history=[received("B1"), SCRAPPED], event=SOLD, code="board_is_scrapped", instead=["corrected"]
    ),
    "a board that nobody ever received is sold": Case(
        history=[], event=SOLD, code="not_in_custody", instead=["received"]
    ),
    "a board is sold out of a unit": Case(
        history=[bare(), received("B1"), fitted("B1")],
        event=SOLD,
        code="not_in_custody",
        instead=["removed"],
    ),
    "a board is sold twice": Case(
        history=[received("B1"), SOLD], event=SOLD, code="already_sold", instead=["returned"]
    ),
    "a held board is sold": Case(
        history=[received("B1"), HELD], event=SOLD, code="board_is_held", instead=["hold_lifted"]
    ),
    "a board comes back that was never sold": Case(
        history=[],
        event=draft("returned", board="B1", part="MN-4100"),
        code="not_sold",
        instead=["received"],
        mended=False,
    ),
    "another hold is lifted than stands": Case(
        history=[received("B1"), HELD],
        event=draft("hold_lifted", board="B1", placed=1, confirmed_by="maker", evidence="a letter"),
        code="no_such_hold",
        instead=["hold_lifted"],
        mended=False,
    ),
    "a hold is lifted from a unit that has none": Case(
        history=[bare()],
        event=draft("hold_lifted", unit="U1", placed=1, confirmed_by="maker", evidence="a letter"),
        code="no_such_hold",
        instead=[],
        mended=False,
    ),
    "a blank panel is assigned by a blank main board": Case(
        history=[bare(), *BLANK_MAIN, *BLANK_PANEL],
        event=assigned("P9"),
        code="naming_board_is_blank",
        instead=["step_finished"],
    ),
    "a panel is assigned where nothing names": Case(
        history=[plover(), removed("M1"), removed("P1", **AT_PANEL), *BLANK_PANEL],
        event=assigned("P9"),
        code="nothing_assigns_it",
        instead=[],
        mended=False,
    ),
    "a panel is assigned another model than its main board has": Case(
        history=[plover(), removed("P1", **AT_PANEL), *BLANK_PANEL],
        event=assigned("P9", model="plover-60"),
        code="naming_board_is_of_another_model",
        instead=[],
        mended=False,
    ),
    "a bound panel is assigned again": Case(
        history=[plover()],
        event=assigned("P1"),
        code="already_bound",
        instead=["step_finished"],
        mended=False,
    ),
    "a free board is bound": Case(
        history=[bare(), received("L1", "LM-9100")],
        event=draft("step_finished", step="enter_serial", board="L1", unit="U1", model="plover-40"),
        code="does_not_name",
        instead=[],
        mended=False,
    ),
    "a main board is assigned a model": Case(
        history=[plover()],
        event=draft("step_finished", step="assign", board="M1", unit="U1", model="plover-40"),
        code="does_not_follow",
        instead=[],
        mended=False,
    ),
    "a serial goes into a board bound to another model": Case(
        history=[bare(), received("B1", **BOUND_60), fitted("B1")],
        event=entered("B1"),
        code="bound_to_other_model",
        instead=["removed"],
        mended=False,
    ),
    "a serial goes into a board that holds that of a machine in service": Case(
        history=[
            bare(model="curlew-20"),
            bare("U2", "curlew-20"),
            received("B1", binding="bound", bound_model="curlew-20", holds="U2"),
            fitted("B1"),
        ],
        event=entered("B1", model="curlew-20"),
        code="serial_in_service_elsewhere",
        instead=[],
        mended=False,
    ),
    "boards of two models are introduced": Case(
        history=[plover(), removed("M1"), received("B1", **BOUND_60), fitted("B1")],
        event=introduced("P1", "B1"),
        code="boards_disagree",
        instead=["removed"],
        mended=False,
    ),
    "a blank panel is introduced": Case(
        history=[plover(), removed("P1", **AT_PANEL), *BLANK_PANEL],
        event=introduced("P9", "M1"),
        code="board_is_blank",
        instead=["step_finished"],
    ),
    "two blank boards are introduced": Case(
        history=[bare(), *BLANK_MAIN, *BLANK_PANEL],
        event=introduced("P9", "B1"),
        code="board_is_blank",
        instead=["step_finished", "step_finished"],
    ),
    "software goes on a board that carries none": Case(
        history=[bare(), received("L1", "LM-9100"), fitted("L1", role="lamp", policy="free")],
        event=draft(
            "step_finished", step="load", board="L1", unit="U1", role="lamp", policy="free", release="1.1"
        ),
        code="carries_no_software",
        instead=[],
        mended=False,
    ),
}
everywhere = pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())


@everywhere
def test_it_is_refused_and_something_else_would_be_right(case: Case) -> None:
    refusals = held_against(case.history, case.event)
    assert case.code in [refusal.code for refusal in refusals]
    refusal = next(refusal for refusal in refusals if refusal.code == case.code)
    assert [instead.kind.value for instead in refusal.instead] == case.instead
    assert refusal.facts


@everywhere
def test_what_is_proposed_may_be_recorded_and_the_event_after_it(engine: Engine, case: Case) -> None:
    record(engine, *case.history)
    with pytest.raises(NotLegal) as refused:
        record(engine, case.event)
    assert refused.value.position == 0
    refusal = next(refusal for refusal in refused.value.refusals if refusal.code == case.code)
    record(engine, *map(completed, refusal.instead))
    if case.mended:
        record(engine, case.event)
    with reading(engine) as connection:
        assert last_number(connection) == len(case.history) + len(refusal.instead) + case.mended


def test_every_code_has_a_case_and_words() -> None:
    assert {case.code for case in CASES.values()} == set(CODES) == REFUSALS.keys() == MEANINGS.keys()
