"""The demo's events are valid, agree with its catalogue, and tell the stories that their names promise."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest

from service.demo import serials
from service.demo.world import demo_catalogue, demo_events
from service.domain.catalogue.model import Catalogue, Part
from service.domain.facts.records import BLANK
from service.domain.ledger.event import Draft, Event, Subject, SubjectKind
from service.domain.ledger.fold import States
from service.domain.ledger.kinds import draft_faults, named_subjects
from service.domain.serials import Decoded, decode
from service.domain.serials import Subject as Whose
from service.domain.terms import Condition, PartNumber, Serial
from service.papers import read_catalogue
from tests.ledger.telling import fold

NAMED = {
    name: Serial(value) for name, value in vars(serials).items() if name.isupper() and isinstance(value, str)
}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(demo_catalogue())


@pytest.fixture(scope="module")
def drafts() -> list[Draft]:
    return demo_events()


@pytest.fixture(scope="module")
def states(drafts: list[Draft]) -> States:
    return fold(
        [
            Event(
                seq=at,
                kind=draft.kind,
                occurred_at=draft.occurred_at,
                recorded_at=draft.occurred_at,
                data=draft.data,
                subjects=named_subjects(draft.kind, draft.data),
            )
            for at, draft in enumerate(drafts, 1)
        ]
    )


def subjects(drafts: list[Draft]) -> set[Subject]:
    return {subject for draft in drafts for subject in named_subjects(draft.kind, draft.data)}


def reading(catalogue: Catalogue, subject: Subject) -> Decoded:
    whose = Whose.BOARD if subject.kind is SubjectKind.BOARD else Whose.UNIT
    found = decode(catalogue.schemes, whose, subject.serial)
    assert isinstance(found, Decoded), found
    return found


def test_every_event_is_valid(drafts: list[Draft]) -> None:
    assert [fault for draft in drafts for fault in draft_faults(draft)] == []


def test_events_are_the_same_on_every_call_and_in_the_order_of_time(drafts: list[Draft]) -> None:
    assert demo_events() == drafts
    moments = [draft.occurred_at for draft in drafts]
    assert moments == sorted(set(moments))
    assert all(moment.weekday() < 5 and moment.utcoffset() is not None for moment in moments)


def test_there_are_200_boards_and_60_units(drafts: list[Draft]) -> None:
    found = subjects(drafts)
    assert sum(subject.kind is SubjectKind.BOARD for subject in found) == 200
    assert sum(subject.kind is SubjectKind.UNIT for subject in found) == 60


def test_every_name_is_of_a_board_or_unit_that_the_ledger_knows(drafts: list[Draft]) -> None:
    known = {subject.serial for subject in subjects(drafts)}
    assert len(NAMED) >= 45
    assert set(NAMED.values()) <= known
    assert len(set(NAMED.values())) == len(NAMED)


def test_every_serial_is_read_by_its_scheme_in_its_own_form(
    drafts: list[Draft], catalogue: Catalogue
) -> None:
    for subject in subjects(drafts):
        assert reading(catalogue, subject).serial == subject.serial


def test_a_board_is_of_the_part_that_its_serial_names(states: States, catalogue: Catalogue) -> None:
    for serial, state in states.boards.items():
        parts = reading(catalogue, Subject(SubjectKind.BOARD, serial)).parts
        if state.record.part is None:
            assert serial == serials.UNMARKED_BUMPER
            assert len(parts) == 2
        else:
            assert parts == {state.record.part}


def test_a_unit_is_of_a_model_that_its_serial_can_be(states: States, catalogue: Catalogue) -> None:
    for serial, state in states.units.items():
        models = reading(catalogue, Subject(SubjectKind.UNIT, serial)).models
        if state.record.model is None:
            assert serial == serials.CUSTOMER_CURLEW_EITHER
            assert models == {"curlew-20", "curlew-20-a"}
        else:
            assert state.record.model in models
        assert state.record.market in catalogue.markets


def factory_boards(drafts: list[Draft]) -> Iterator[tuple[Draft, dict[str, str]]]:
    for draft in drafts:
        if draft.kind == "registered":
            for block in draft.data.get("boards", ()):
                yield draft, block


def listed(part: Part, model: str, order: tuple[int, ...], made: tuple[date, date]) -> bool:
    """Whether a part's own rows list it for a unit; written here once more, and plainly."""
    return any(
        model in row.models
        and (row.serial_from is None or order >= place_in_order(row.serial_from))
        and (row.serial_before is None or order < place_in_order(row.serial_before))
        and (row.date_from is None or made[0] >= row.date_from)
        and (row.date_before is None or made[1] < row.date_before)
        for row in part.listings
    )


def place_in_order(serial: str) -> tuple[int, ...]:
    """Year, week and number of a plate serial of the demo's maker."""
    return 2000 + int(serial[4:6]), int(serial[6:8]), int(serial[8:12])


def test_what_the_factory_fitted_is_listed_for_the_unit(drafts: list[Draft], catalogue: Catalogue) -> None:
    count = 0
    for draft, block in factory_boards(drafts):
        unit, model, part = (
            draft.data["unit"],
            draft.data["model"],
            catalogue.parts[PartNumber(str(block["part"]))],
        )
        (made,) = reading(catalogue, Subject(SubjectKind.UNIT, unit)).made
        assert listed(part, model, place_in_order(unit), made), (unit, block)
        assert part.markets is None or draft.data["market"] in part.markets
        assert part.role == block["role"]
        assert part.binding == block["policy"]
        releases = catalogue.roles[part.role].releases
        assert block.get("release") == (None if part.release is None else releases[part.release])
        count += 1
    assert count >= 100


def test_a_board_sits_in_one_unit_at_a_time(drafts: list[Draft]) -> None:
    sits: dict[str, str] = {}
    for draft in drafts:
        unit = str(draft.data.get("unit"))
        boards = [block["board"] for block in draft.data.get("boards", ())]
        for board in boards + ([draft.data["board"]] if draft.kind == "fitted" else []):
            assert sits.setdefault(board, unit) == unit
        if draft.kind == "removed":
            assert sits.pop(draft.data["board"]) == unit


def binding(states: States, serial: str) -> set[str]:
    return set(states.boards[Serial(serial)].record.binding.values or ())


def test_the_named_boards_are_what_their_names_say(states: States) -> None:
    assert binding(states, serials.USED_MAIN_60) == {"plover-60"}
    assert states.boards[serials.USED_MAIN_60].record.donor == serials.DONOR_PLOVER_60
    assert binding(states, serials.BLANK_MAIN) == {BLANK}
    assert binding(states, serials.BROKEN_OFF_MAIN) == {BLANK, "plover-60"}
    assert states.boards[serials.USED_MAIN_UNKNOWN].record.binding.any_model
    assert states.boards[serials.CONTRADICTORY_MAIN].record.binding.contradiction
    assert states.boards[serials.EXPOSED_MAIN_40].record.conditions == {Condition.EXPOSED}
    assert states.boards[serials.MAYBE_EXPOSED_POSITION].record.conditions == {
        Condition.EXPOSED,
        Condition.USABLE,
    }
    assert states.boards[serials.SCRAPPED_MAIN].record.conditions == {Condition.SCRAPPED}
    assert states.boards[serials.FAILED_RADIO].record.conditions == {Condition.FAILED}
    assert states.boards[serials.MATCHED_PANEL_12].record.partner == serials.MATCHED_MAIN_12
    assert states.boards[serials.STILL_NEEDED_MAIN].record.held_serial == serials.RENEWED_WREN_8
    for name in ("STOLEN_MAIN", "LOCKED_PANEL_60", "RECALLED_LIFT"):
        assert states.boards[NAMED[name]].record.holds


def test_the_named_units_are_what_their_names_say(states: States) -> None:
    assert states.units[serials.REPORTED_STOLEN_WREN_8].record.holds
    assert states.units[serials.TWO_PACK_PLOVER_60].record.accessories == {"battery_pack": 2}
    assert len(states.units[serials.FULLY_RECORDED_PLOVER_60].seating.occupants) == 9
    assert not states.units[serials.DONOR_PLOVER_60].record.in_service
    assert states.units[serials.RENEWED_WREN_8].record.in_service
    assert serials.FOREIGN_MAIN_60 in states.units[serials.DISAGREEING_PLOVER_40].seating.occupants.values()
    for name, serial in NAMED.items():
        if name.startswith("CUSTOMER"):
            assert not states.units[serial].seating.occupants
