"""The six worked examples of the PubGrub algorithm, stated as boards and releases.

Source: Dart's package manager `pub`, doc/solver.md (1 to 5 as read there, 6 from memory); each answer was
also computed by brute force, by a resolver library and by three solvers. In example 5 the document's list of
packages says `baz ^3.0.0` while its steps use `baz ^1.0.0`; the steps are right.

A package is a role, a dependency a need of a board that must be there. A package that may be left out is a
board that may be missing, so every choice of boards is asked; a set counts when each of its boards is needed,
from the root on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

import pytest

from service.domain.software.releases import Software
from service.domain.software.task import Board, all_that_runs
from service.domain.software.why_not import why_not
from service.domain.terms import RoleId
from tests.software.asked import all_sets
from tests.software.told import PART, Told, board, catalogue, task

Set = dict[str, str]


@dataclass(frozen=True)
class Example:
    roles: tuple[str, ...]
    told: Told
    answers: tuple[Set, ...]
    """All sets in which every board is needed; the published answer is the first."""


EXAMPLES = {
    "no_conflict": Example(
        ("root", "foo", "bar"),
        {"root 1.0.0": {"foo": "^1"}, "foo 1.0.0": {"bar": "^1"}, "bar 1.0.0": {}, "bar 2.0.0": {}},
        ({"foo": "1.0.0", "bar": "1.0.0"},),
    ),
    "avoiding_conflict": Example(
        ("root", "foo", "bar"),
        {
            "root 1.0.0": {"foo": "^1", "bar": "^1"},
            "foo 1.1.0": {"bar": "^2"},
            "foo 1.0.0": {},
            "bar 1.0.0": {},
            "bar 1.1.0": {},
            "bar 2.0.0": {},
        },
        ({"foo": "1.0.0", "bar": "1.1.0"}, {"foo": "1.0.0", "bar": "1.0.0"}),
    ),
    "conflict": Example(
        ("root", "foo", "bar"),
        {
            "root 1.0.0": {"foo": ">=1"},
            "foo 2.0.0": {"bar": "^1"},
            "foo 1.0.0": {},
            "bar 1.0.0": {"foo": "^1"},
        },
        ({"foo": "1.0.0"},),
    ),
    "partial_satisfier": Example(
        ("root", "foo", "left", "right", "shared", "target"),
        {
            "root 1.0.0": {"foo": "^1", "target": "^2"},
            "foo 1.1.0": {"left": "^1", "right": "^1"},
            "foo 1.0.0": {},
            "left 1.0.0": {"shared": ">=1"},
            "right 1.0.0": {"shared": "<2"},
            "shared 2.0.0": {},
            "shared 1.0.0": {"target": "^1"},
            "target 2.0.0": {},
            "target 1.0.0": {},
        },
        ({"foo": "1.0.0", "target": "2.0.0"},),
    ),
    "linear_error": Example(
        ("root", "foo", "bar", "baz"),
        {
            "root 1.0.0": {"foo": "^1", "baz": "^1"},
            "foo 1.0.0": {"bar": "^2"},
            "bar 2.0.0": {"baz": "^3"},
            "baz 1.0.0": {},
            "baz 3.0.0": {},
        },
        (),
    ),
    "branching_error": Example(
        ("root", "foo", "a", "b", "x", "y"),
        {
            "root 1.0.0": {"foo": "^1"},
            "foo 1.0.0": {"a": "^1", "b": "^1"},
            "foo 1.1.0": {"x": "^1", "y": "^1"},
            "a 1.0.0": {"b": "^2"},
            "b 1.0.0": {},
            "b 2.0.0": {},
            "x 1.0.0": {"y": "^2"},
            "y 1.0.0": {},
            "y 2.0.0": {},
        },
        (),
    ),
}


def boards(listed: Software, roles: tuple[str, ...]) -> list[Board]:
    """Boards of these roles, of which nothing is known."""
    carried = {role: map(str, all_that_runs(listed, RoleId(role), PART)) for role in roles}
    return [board(role, *versions) for role, versions in carried.items()]


def choices(example: Example) -> Iterator[tuple[str, ...]]:
    """The root with any of the other boards."""
    root, *others = example.roles
    for count in range(len(others) + 1):
        yield from ((root, *chosen) for chosen in combinations(others, count))


def is_needed(told: Told, found: Mapping[str, str]) -> bool:
    """Whether every board of a set is asked for, by the root or by one that is."""
    asked, todo = {"root"}, ["root"]
    while todo:
        role = todo.pop()
        fresh = set(told[f"{role} {found[role]}"]) - asked
        asked |= fresh
        todo += fresh
    return asked == set(found)


def sets(example: Example) -> Iterator[Set]:
    listed = catalogue(example.roles, example.told, must_be_there=True)
    for chosen in choices(example):
        for each in all_sets(task(listed, boards(listed, chosen))):
            found = {str(place): str(version) for place, version in each.items()}
            if is_needed(example.told, found):
                yield {role: version for role, version in found.items() if role != "root"}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_sets_are_those_of_the_published_answer(name: str) -> None:
    assert tuple(sets(EXAMPLES[name])) == EXAMPLES[name].answers


def test_the_linear_error_is_explained_by_the_two_needs_that_disagree() -> None:
    example = EXAMPLES["linear_error"]
    listed = catalogue(example.roles, example.told, must_be_there=True)
    found = why_not(task(listed, [board(role, "1.0.0") for role in example.roles]))
    assert [(fact.role, fact.other) for fact in found] == [("root", "baz"), ("bar", "baz")]


def test_the_branching_error_is_explained_by_both_branches() -> None:
    example = EXAMPLES["branching_error"]
    listed = catalogue(example.roles, example.told, must_be_there=True)
    found = why_not(task(listed, [board(role, "1.0.0") for role in example.roles]))
    named = [(f"{fact.role} {fact.version}", fact.other) for fact in found]
    branches = [("foo 1.1.0", "y"), ("foo 1.0.0", "b"), ("a 1.0.0", "b"), ("x 1.0.0", "y")]
    assert named == branches


def test_a_board_that_must_be_there_and_is_not_is_the_explanation() -> None:
    example = EXAMPLES["no_conflict"]
    listed = catalogue(example.roles, example.told, must_be_there=True)
    found = why_not(task(listed, [board("root", "1.0.0"), board("foo", "1.0.0")]))
    assert [(fact.role, fact.other) for fact in found] == [("foo", "bar")]
