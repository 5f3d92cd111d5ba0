"""Plans go step by step through what is allowed; where several are as short, one rule says which."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import plans
from service.domain.software.task import Aim, Task
from tests.software.asked import in_one_sequence, plain
from tests.software.told import board, catalogue, task

ALTERNATING = catalogue(
    ["main", "panel"],
    {
        "main 1.0.0": {"panel": "=1.0.0 || =2.0.0"},
        "main 2.0.0": {"panel": "=2.0.0 || =3.0.0"},
        "main 3.0.0": {"panel": "=3.0.0"},
        "panel 1.0.0": {},
        "panel 2.0.0": {},
        "panel 3.0.0": {},
    },
)
"""Every two states in between must go together: 1 1, 1 2, 2 2, 2 3 and 3 3 do."""


def worked(question: Task) -> list[tuple[str, str]]:
    found = plans(question)
    assert found.outcomes == {PlanOutcome.PLAN}
    return plain(in_one_sequence(question, found))


@pytest.mark.parametrize("aim", Aim)
def test_two_boards_are_loaded_in_turns(aim: Aim) -> None:
    """A graph library finds this plan and no other of four loads in the product of the two."""
    question = task(ALTERNATING, [board("main", "1.0.0"), board("panel", "1.0.0")], aim, main="3")
    assert worked(question) == [("panel", "2.0.0"), ("main", "2.0.0"), ("panel", "3.0.0"), ("main", "3.0.0")]


def test_the_way_back_is_the_same_way() -> None:
    boards = [board("main", "3.0.0"), board("panel", "3.0.0")]
    back = task(ALTERNATING, boards, Aim.LEAST_CHANGE, main="1", panel="1")
    assert worked(back) == [("main", "2.0.0"), ("panel", "2.0.0"), ("main", "1.0.0"), ("panel", "1.0.0")]


TWO_WAYS = catalogue(
    ["main"],
    {
        "main 1.0.0": {"over": "<0.0.0"},
        "main 1.1.0": {"over": "=1.0.0"},
        "main 1.2.0": {"over": "=1.0.0"},
        "main 1.9.0": {"over": "=1.1.0 || =1.2.0"},
        "main 2.0.0": {"over": "=1.9.0"},
        "main 2.1.0": {"over": "=2.0.0"},
    },
)


def test_of_two_ways_as_short_the_one_over_the_newer_release_is_taken() -> None:
    """A graph library finds both of four loads: by 1.1.0 and by 1.2.0."""
    assert [version for _, version in worked(task(TWO_WAYS, [board("main", "1.0.0")]))] == [
        "1.2.0",
        "1.9.0",
        "2.0.0",
        "2.1.0",
    ]


def test_boards_that_nothing_joins_are_loaded_in_the_order_of_their_roles() -> None:
    listed = catalogue(
        ["rain", "main"], {"main 2.0.0": {}, "rain 1.1.0": {"over": "=1.0.0"}, "rain 1.2.0": {}}
    )
    question = task(listed, [board("main", "1.0.0"), board("rain", "1.0.0")])
    assert worked(question) == [("rain", "1.2.0"), ("main", "2.0.0")]


def test_every_place_of_a_role_has_to_meet_a_need() -> None:
    listed = catalogue(
        ["main", "bumper"],
        {"main 1.0.0": {}, "main 2.0.0": {"bumper": "^2"}, "bumper 1.0.0": {}, "bumper 2.0.0": {}},
    )
    boards = [board("main", "1.0.0"), board("bumper.left", "1.0.0"), board("bumper.right", "1.0.0")]
    assert worked(task(listed, boards)) == [
        ("bumper.left", "2.0.0"),
        ("bumper.right", "2.0.0"),
        ("main", "2.0.0"),
    ]


def test_a_need_of_a_role_that_has_no_board_asks_for_nothing() -> None:
    assert worked(task(ALTERNATING, [board("main", "1.0.0")])) == [("main", "3.0.0")]


def test_a_board_that_answers_nothing_takes_what_is_loaded_over_anything() -> None:
    listed = catalogue(
        ["main", "panel"],
        {"main 1.0.0": {}, "main 2.0.0": {"over": "^1"}, "panel 1.0.0": {"main": ">=2"}},
    )
    question = task(listed, [board("main", None), board("panel", "1.0.0")])
    assert worked(question) == [("main", "1.0.0"), ("main", "2.0.0")]


def test_boards_at_odds_are_let_off_until_the_end_and_no_others() -> None:
    """Main and panel do not go together as they are, so the panel may pass 1.5.0; the radio must not be
    left behind on the way by the main board."""
    listed = catalogue(
        ["main", "panel", "radio"],
        {
            "main 2.0.0": {"panel": "^2"},
            "main 2.1.0": {"panel": "^2", "radio": "^2"},
            "panel 1.0.0": {"over": "<0.0.0"},
            "panel 1.5.0": {"over": "=1.0.0"},
            "panel 2.0.0": {"over": "=1.5.0"},
            "radio 1.0.0": {},
            "radio 2.0.0": {},
        },
    )
    boards = [board("main", "2.0.0"), board("panel", "1.0.0"), board("radio", "1.0.0")]
    assert worked(task(listed, boards)) == [
        ("panel", "1.5.0"),
        ("panel", "2.0.0"),
        ("radio", "2.0.0"),
        ("main", "2.1.0"),
    ]


def test_one_board_goes_a_longer_way_where_that_spares_another_more() -> None:
    """Straight on, the panel would need four loads before the main board's one."""
    listed = catalogue(
        ["main", "panel"],
        {
            "main 1.0.0": {"panel": "^1 || ^3"},
            "main 2.0.0": {},
            "main 3.0.0": {"panel": "^3"},
            "panel 1.0.0": {"over": "<0.0.0"},
            "panel 1.1.0": {"over": "=1.0.0"},
            "panel 1.2.0": {"over": "=1.1.0"},
            "panel 1.3.0": {"over": "=1.2.0"},
            "panel 2.0.0": {"over": "=1.0.0"},
            "panel 3.0.0": {"over": "=1.3.0 || =2.0.0"},
        },
    )
    assert worked(task(listed, [board("main", "1.0.0"), board("panel", "1.0.0")])) == [
        ("main", "2.0.0"),
        ("panel", "2.0.0"),
        ("panel", "3.0.0"),
        ("main", "3.0.0"),
    ]


def test_an_unlisted_release_does_not_stay() -> None:
    listed = catalogue(["main"], {"main 1.0.0": {}, "main 2.0.0": {"over": "^1"}})
    question = task(listed, [board("main", "3.0.0")], Aim.LEAST_CHANGE)
    assert worked(question) == [("main", "1.0.0")]
    newest = replace(question, aim=Aim.NEWEST)
    assert worked(newest) == [("main", "1.0.0"), ("main", "2.0.0")]


def test_the_order_in_which_boards_are_told_changes_nothing() -> None:
    question = task(ALTERNATING, [board("main", "1.0.0"), board("panel", "1.0.0")])
    turned = replace(question, boards=question.boards[::-1])
    assert worked(turned) == worked(question)


def test_two_boards_in_one_place_are_refused() -> None:
    with pytest.raises(ValueError, match="one place"):
        plans(task(ALTERNATING, [board("main", "1.0.0"), board("main", "2.0.0")]))


def test_a_version_wanted_of_a_board_that_is_missing_is_refused() -> None:
    boards = [board("main", "1.0.0"), board("lift", "1.0.0")]
    with pytest.raises(ValueError, match="wanted of panel"):
        plans(task(ALTERNATING, boards, panel="*"))
    with pytest.raises(ValueError, match="wanted of lift"):
        plans(task(ALTERNATING, boards, lift="*"))


def test_a_board_of_which_nothing_may_be_true_is_refused() -> None:
    with pytest.raises(ValueError, match="main"):
        plans(task(ALTERNATING, [board("main")]))


def test_a_role_without_software_is_left_out() -> None:
    question = task(ALTERNATING, [board("main", "1.0.0"), board("lift", "1.0.0")])
    assert [block.places for block in plans(question).blocks] == [(("main", ""),)]


def test_without_a_board_there_is_nothing_to_do() -> None:
    assert worked(task(ALTERNATING, [])) == []


def test_the_order_in_which_releases_are_listed_changes_nothing() -> None:
    told = {f"main {n}.0.0": {"panel": f">={n - 1} <={n + 1}"} for n in range(1, 6)}
    told |= {f"panel {n}.0.0": {"main": f">={n - 1} <={n + 1}"} for n in range(1, 6)}
    boards = [board("main", "1.0.0"), board("panel", "1.0.0")]
    wanted = worked(task(catalogue(["main", "panel"], told), boards))
    assert len(wanted) == 5
    for seed in range(5):
        shuffled = dict(random.Random(seed).sample(sorted(told.items()), len(told)))
        assert worked(task(catalogue(["main", "panel"], shuffled), boards)) == wanted
