"""One reading tells all faults of a file, in the order of its lines."""

from __future__ import annotations

from typing import Any

from service.papers import check
from tests.papers.documents import SMALL
from tests.papers.test_every_fault_has_its_place import CASES

ENDING = {"unreadable", "several_documents", "alias", "tag", "bad_key", "too_deep"}
"""After these the text cannot be read on, so nothing else of it is known."""


def beside_each_other() -> list[dict[str, Any]]:
    """Cases that change different lines, add and drop none, and have no other fault as a consequence."""
    taken: set[int] = set()
    chosen = []
    for case in CASES:
        first = SMALL[: SMALL.index(case["old"])].count("\n")
        lines = set(range(first, first + 1 + case["old"].count("\n")))
        alone = case["code"] not in ENDING and "also" not in case and "line" not in case
        same_size = all(
            case["old"].count(mark) == case["new"].count(mark) for mark in ("\n", "- {", "number:")
        )
        if alone and same_size and not lines & taken:
            taken |= lines
            chosen.append(case)
    return chosen


def test_the_faults_of_many_cases_come_together() -> None:
    chosen = beside_each_other()
    assert len(chosen) >= 20
    text = SMALL
    for case in chosen:
        text = text.replace(case["old"], case["new"])
    faults = check(text)
    found = {(fault.code, fault.path) for fault in faults}
    assert {(case["code"], case["path"]) for case in chosen} <= found
    lines = [fault.line for fault in faults]
    assert lines == sorted(lines)
    assert len(set(lines)) >= 20
