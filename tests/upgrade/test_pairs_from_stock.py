"""A main and a panel board from stock that know each other: what it takes to fit them, reckoned by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from service.domain.facts.case import Pairing
from service.domain.place import Place
from service.domain.terms import Holds, ModelId, PartNumber, RoleId, Serial, StepKind
from service.domain.upgrade.offers import StockBoard
from service.domain.upgrade.upgrading import Found
from tests.upgrade.papers import Pairs, Paper, found
from tests.upgrade.test_by_hand import _newer, _part, paper

BOTH = {"ports": 2, "radio": 1}
MAIN, PANEL = Place(RoleId("main")), Place(RoleId("panel"))
TOGETHER = (Serial("PANEL"), Serial("MAIN"))


def with_panel(moved: str = "introduce_again") -> Paper:
    """The machine has a panel board too, and a session with the tool costs 40. New boards that can do both
    cost 100 and 50."""
    told = paper()
    told["features"]["mast"] = "mast"
    told["roles"]["panel"] = {"name": "panel"}
    told["capabilities"]["radio"] = {
        "name": "radio", "kind": "switch", "hardware": [{"role": "panel", "feature": "mast"}]
    }  # fmt: skip
    for model in told["models"].values():
        model["roles"]["panel"] = {}
        model["allows"]["radio"] = {"amount": 1}
    told["parts"] += [
        _part("PANEL-1", "panel", "follows", {}, "30.00"),
        {**_part("PANEL-2", "panel", "follows", {"mast": 1}, "50.00"), **_newer("PANEL-1")},
    ]
    told["families"]["fam"]["matched_pair_moved"] = moved
    assign = {"step": "assign", "who": "dealer", "minutes": [5, 5], "tool": True}
    told["families"]["fam"]["procedures"].insert(4, assign)
    told["sale"]["markets"]["north"]["programming_fee"] = "40.00"
    return told


def used(number: str, price: str, serial: str = "") -> StockBoard:
    """A board of the right model; its serial is its role's name in capitals, if not told."""
    return StockBoard(
        serial=Serial(serial or number[:-2]),
        part=PartNumber(number),
        binding=ModelId("m1"),
        holds=Holds.IDLE if number == "MAIN-2" else Holds.NOTHING,
        price=Decimal(price),
        used=True,
    )


def asked(told: Paper, pairs: Pairs, *shelf: StockBoard, wanted: dict[str, int] = BOTH) -> Found:
    stock = {
        RoleId(role): tuple(board for board in shelf if board.part.startswith(role.upper()))
        for role in ("main", "panel")
    }
    return found(told, "m1", wanted, stock=stock, pairs=pairs)


def costs(answer: Found, money: int) -> bool:
    return answer.plans[0].burden.money == money


def put_in(answer: Found) -> dict[str, str]:
    return {str(each.place): each.name[2:] for each in answer.plans[0].changes}


USED = {"main": "MAIN", "panel": "PANEL"}
NEW = {"main": "MAIN-2", "panel": "PANEL-2"}


@pytest.mark.parametrize(
    ("pairs", "moved", "money", "boards"),
    [
        ({TOGETHER: Pairing.MOVED_TOGETHER}, "nothing", 120 + 60, USED),
        ({TOGETHER: Pairing.MOVED_TOGETHER}, "introduce_again", 100 + 50 + 40, NEW),
        ({TOGETHER: Pairing.PUT_BACK}, "introduce_again", 120 + 60, USED),
        ({}, "nothing", 100 + 50 + 40, NEW),
    ],
    ids=["moved together", "moved together, to be introduced again", "put back", "strangers"],
)
def test_a_pair_that_needs_no_programming_may_cost_more(
    pairs: Pairs, moved: str, money: int, boards: dict[str, str]
) -> None:
    """180 for the used pair, or 150 for new boards and 40 for programming them."""
    answer = asked(with_panel(moved), pairs, used("MAIN-2", "120.00"), used("PANEL-2", "60.00"))
    assert costs(answer, money)
    assert put_in(answer) == boards
    assert (StepKind.INTRODUCE in {step.kind for step in answer.plans[0].steps}) == (boards == NEW)


def test_a_panel_that_comes_back_to_the_main_board_that_stays_is_not_introduced() -> None:
    """Dearer than a new one, and cheaper than a new one with its programming."""
    shelf, pairs = used("PANEL-2", "80.00"), {(Serial("PANEL"), MAIN): Pairing.PUT_BACK}
    answer = asked(with_panel(), pairs, shelf, wanted={"radio": 1})
    assert costs(answer, 80)
    assert put_in(answer) == {"panel": "PANEL"}
    stranger = asked(with_panel(), {}, shelf, wanted={"radio": 1})
    assert costs(stranger, 50 + 40)
    assert put_in(stranger) == {"panel": "PANEL-2"}


def test_a_main_board_that_comes_back_knows_the_panel_that_stays() -> None:
    pairs = {(PANEL, Serial("MAIN")): Pairing.PUT_BACK}
    answer = asked(with_panel(), pairs, used("MAIN-2", "130.00"), wanted={"ports": 2})
    assert costs(answer, 130)
    assert put_in(answer) == {"main": "MAIN"}


def test_a_board_that_is_known_is_not_passed_over_for_a_cheaper_one_of_its_kind() -> None:
    shelf = used("MAIN-2", "120.00"), used("PANEL-2", "59.00", "CHEAP"), used("PANEL-2", "60.00")
    answer = asked(with_panel("nothing"), {TOGETHER: Pairing.MOVED_TOGETHER}, *shelf)
    assert costs(answer, 180)
    assert put_in(answer) == USED
