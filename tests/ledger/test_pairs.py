"""Which pairs are introduced, as units change hands and boards change places."""

from __future__ import annotations

import pytest

from service.domain.facts.records import Pair
from service.domain.ledger.event import Draft
from service.domain.place import Place
from service.domain.terms import Serial
from tests.ledger.telling import (
    AT_LAMP,
    AT_PANEL,
    MAIN,
    PANEL,
    board_after,
    draft,
    factory_set,
    fit,
    introduce,
    remove,
    unit_after,
)

OUT_MAIN = remove("M1")
BACK_MAIN = fit("M1")
OTHER_MAIN = fit("M2")
OUT_PANEL = remove("P1", **AT_PANEL)
BACK_PANEL = fit("P1", **AT_PANEL)
OTHER_PANEL = fit("P2", **AT_PANEL)
INTRODUCED = introduce("finished", "M2", "P1")
READ_APART = draft("read_out", board="P1", unit="U1", **AT_PANEL, introduced=False)
READ_TOGETHER = draft(
    "read_out", board="P1", unit="U1", **AT_PANEL, introduced=True, naming={"board": "M2", "role": "main"}
)

CASES: list[tuple[str, list[Draft], set[Place], set[Place]]] = [
    ("the factory introduced its pair", [], set(), set()),
    ("a lamp is no matter", [remove("L1", **AT_LAMP), fit("L2", **AT_LAMP)], set(), set()),
    ("another main", [OUT_MAIN, OTHER_MAIN], {PANEL, MAIN}, set()),
    ("another panel", [OUT_PANEL, OTHER_PANEL], {PANEL}, set()),
    ("nobody stands beside an empty place", [OUT_MAIN], set(), set()),
    ("an empty place is in no pair", [OUT_PANEL], set(), set()),
    ("the same main put back", [OUT_MAIN, BACK_MAIN], set(), set()),
    ("the same panel put back", [OUT_PANEL, BACK_PANEL], set(), set()),
    ("both put back", [OUT_PANEL, OUT_MAIN, BACK_MAIN, BACK_PANEL], set(), set()),
    ("tried another and put the first back", [OUT_MAIN, OTHER_MAIN, remove("M2"), BACK_MAIN], set(), set()),
    ("introduced to the new one", [OUT_MAIN, OTHER_MAIN, INTRODUCED], {MAIN}, set()),
    (
        "the old one back after the panel was introduced to another",
        [OUT_MAIN, OTHER_MAIN, INTRODUCED, remove("M2"), BACK_MAIN],
        {PANEL},
        set(),
    ),
    (
        "and the other one back again",
        [OUT_MAIN, OTHER_MAIN, INTRODUCED, remove("M2"), BACK_MAIN, OUT_MAIN, OTHER_MAIN],
        {MAIN},
        set(),
    ),
    ("started", [OUT_MAIN, OTHER_MAIN, introduce("started", "M2", "P1")], {MAIN}, {PANEL}),
    ("broke off", [OUT_MAIN, OTHER_MAIN, introduce("failed", "M2", "P1")], {MAIN}, {PANEL}),
    ("broke off, then done", [OTHER_MAIN, introduce("failed", "M2", "P1"), INTRODUCED], {MAIN}, set()),
    ("broke off with the factory's pair", [introduce("failed", "M1", "P1")], set(), {PANEL}),
    ("read out as not introduced", [READ_APART], {PANEL}, set()),
    ("read out as introduced", [OTHER_MAIN, READ_TOGETHER], {MAIN}, set()),
    (
        "the main was introduced elsewhere meanwhile",
        [
            OUT_MAIN,
            fit("M1", "U2"),
            fit("P9", "U2", **AT_PANEL),
            introduce("finished", "M1", "P9", "U2"),
            remove("M1", "U2"),
            BACK_MAIN,
        ],
        {PANEL, MAIN},
        set(),
    ),
    (
        "the panel was introduced elsewhere meanwhile",
        [
            OUT_PANEL,
            fit("P1", "U2", **AT_PANEL),
            fit("M9", "U2"),
            introduce("finished", "M9", "P1", "U2"),
            remove("P1", "U2", **AT_PANEL),
            BACK_PANEL,
        ],
        {PANEL},
        set(),
    ),
    (
        "a correction undoes the swap",
        [OTHER_MAIN, draft("corrected", withdraws=2, reason="mistyped")],
        set(),
        set(),
    ),
]


@pytest.mark.parametrize(
    ("history", "apart", "open_"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_pairs_stand_or_not(history: list[Draft], apart: set[Place], open_: set[Place]) -> None:
    unit = unit_after("U1", factory_set(), *history)
    assert unit.not_introduced == apart
    assert unit.maybe_introduced == open_


def test_the_naming_boards_place_stands_for_followers_that_nobody_recorded() -> None:
    told = [draft("registered", unit="U1", model="plover-40"), remove("M1"), fit("M2")]
    assert unit_after("U1", *told).not_introduced == {MAIN}
    assert unit_after("U1", *told, remove("M2"), fit("M1")).not_introduced == frozenset()


def test_a_main_that_was_introduced_elsewhere_knows_just_the_followers_introduced_since() -> None:
    second = {"role": "keypad", "policy": "follows"}
    followers = [fit("P1", **AT_PANEL), fit("K1", **second)]
    elsewhere = [fit("M1", "U2"), introduce("finished", "M1", "P9", "U2"), remove("M1", "U2")]
    again = draft(
        "step_finished",
        step="introduce",
        unit="U1",
        board="K1",
        role="keypad",
        naming={"board": "M1", "role": "main"},
    )
    history = [fit("M1"), *followers, introduce("finished", "M1", "P1"), remove("M1")]
    history += [*elsewhere, fit("M1"), again]
    assert unit_after("U1", *history).not_introduced == {PANEL, MAIN}
    assert unit_after("U1", *history, introduce("finished", "M1", "P1")).not_introduced == {MAIN}


def test_the_set_that_the_factory_fitted_knows_itself() -> None:
    assert board_after("M1", factory_set()).partner == "P1"
    assert board_after("P1", factory_set()).partner == "M1"


def test_partners_are_those_last_introduced() -> None:
    history = [factory_set(), OUT_MAIN, OTHER_MAIN, INTRODUCED]
    assert board_after("P1", *history).partner == "M2"
    assert board_after("M2", *history).partner == "P1"
    assert board_after("M1", *history).partner == "P1"


@pytest.mark.parametrize("how", ["started", "failed"])
def test_after_an_unfinished_introduction_nobody_knows_the_partner(how: str) -> None:
    history = [factory_set(), introduce(how, "M1", "P1")]
    assert board_after("P1", *history).partner is None
    assert board_after("M1", *history).partner is None


def test_a_pair_moved_together_is_each_others_and_not_the_new_units() -> None:
    moved = [
        OUT_MAIN,
        OUT_PANEL,
        fit("M1", "U2"),
        fit("P1", "U2", **AT_PANEL),
    ]
    unit = unit_after("U2", factory_set(), *moved)
    assert unit.not_introduced == {PANEL, MAIN}
    assert unit.boards[PANEL].partner == "M1"
    assert unit.boards[MAIN].partner == "P1"


def pair(naming: str | None, follower: str | None, seq: int = 0) -> Pair:
    def serial(text: str | None) -> Serial | None:
        return Serial(text) if text else None

    return Pair(naming=serial(naming), follower=serial(follower), seq=seq)


LAST_PAIRS: dict[str, tuple[list[Draft], dict[Place, Pair]]] = {
    "the factory's": ([factory_set()], {MAIN: pair("M1", None), PANEL: pair("M1", "P1")}),
    "a main board of which only its removal was recorded": ([remove("M1")], {MAIN: pair("M1", None)}),
    "a panel of which only its removal was recorded": (
        [remove("P1", **AT_PANEL)],
        {PANEL: pair(None, "P1")},
    ),
    "a panel that came to be known later": (
        [remove("M1"), draft("read_out", board="P1", unit="U1", **AT_PANEL)],
        {MAIN: pair("M1", None), PANEL: pair("M1", "P1")},
    ),
    "introduced here since": (
        [factory_set(), remove("M1"), fit("M2"), introduce("finished", "M2", "P1")],
        {MAIN: pair("M1", None), PANEL: pair("M2", "P1", 4)},
    ),
    "an introduction that broke off": (
        [factory_set(), introduce("failed", "M1", "P1")],
        {MAIN: pair("M1", None)},
    ),
    "read out as not introduced": (
        [factory_set(), draft("read_out", board="P1", unit="U1", **AT_PANEL, introduced=False)],
        {MAIN: pair("M1", None)},
    ),
}


@pytest.mark.parametrize(("told", "expected"), LAST_PAIRS.values(), ids=LAST_PAIRS.keys())
def test_which_pair_was_last_introduced_in_a_unit(told: list[Draft], expected: dict[Place, Pair]) -> None:
    assert unit_after("U1", *told).last_pairs == expected


def test_the_old_pair_put_back_after_another_one_served_is_introduced_still() -> None:
    lent = [OUT_MAIN, OUT_PANEL, OTHER_MAIN, OTHER_PANEL, introduce("finished", "M2", "P2")]
    back = [remove("M2"), remove("P2", **AT_PANEL), BACK_MAIN, BACK_PANEL]
    assert unit_after("U1", factory_set(), *lent).not_introduced == {MAIN}
    assert PANEL not in unit_after("U1", factory_set(), *lent, *back).not_introduced


def test_of_a_pair_put_back_one_of_which_served_elsewhere_nothing_stands() -> None:
    elsewhere = [
        OUT_MAIN,
        OUT_PANEL,
        fit("M1", "U2"),
        introduce("finished", "M1", "P9", "U2"),
        remove("M1", "U2"),
    ]
    assert PANEL in unit_after("U1", factory_set(), *elsewhere, BACK_MAIN, BACK_PANEL).not_introduced
