"""Each fault, by a small document that is broken in one place: its code, line, path, message and mend."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from service.papers import check, read_catalogue
from service.papers.codes import MENDS

HERE = Path(__file__).parent
SMALL = (HERE / "small.yaml").read_text(encoding="utf-8")
CASES: list[dict[str, Any]] = yaml.safe_load((HERE / "faults.yaml").read_text(encoding="utf-8"))

NAMES = [f"{at} {case['code']} at {case['path'] or 'the document'}" for at, case in enumerate(CASES)]

OF_THE_TEXT_ITSELF = {"not_utf8", "too_big", "too_long"}
"""Their documents are made in test_hostile_texts.py."""


def broken(case: dict[str, Any]) -> str:
    """The small document with the case's change; the change is made at exactly one place."""
    assert SMALL.count(case["old"]) == 1, "the text to change must stand there once"
    return SMALL.replace(case["old"], case["new"])


def line_of_mark(text: str, case: dict[str, Any]) -> int:
    if "line" in case:
        return int(case["line"])
    mark = case.get("mark", "#!")
    lines = [at for at, line in enumerate(text.splitlines(), 1) if mark in line]
    assert len(lines) == 1, f"{mark} must mark one line"
    return lines[0]


def test_the_small_document_has_no_fault() -> None:
    assert check(SMALL) == []
    assert set(read_catalogue(SMALL).models) == {"ant", "bee", "eel"}


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_the_fault_is_told_with_its_place_and_mend(case: dict[str, Any]) -> None:
    text = broken(case)
    faults = check(text)
    found = [fault for fault in faults if (fault.code, fault.path) == (case["code"], case["path"])]
    assert len(found) == 1, faults
    assert found[0].line == line_of_mark(text, case)
    assert case["says"] in found[0].message
    assert case["mend"] in found[0].mend


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_nothing_else_is_called_a_fault_but_what_follows_from_it(case: dict[str, Any]) -> None:
    expected = sorted([case["code"], *case.get("also", [])])
    assert sorted(fault.code for fault in check(broken(case))) == expected


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_messages_are_sentences_for_a_parts_manager(case: dict[str, Any]) -> None:
    for fault in check(broken(case)):
        for text in (fault.message, fault.mend):
            assert text == text.strip()
            assert "None" not in text
            assert "Bad." not in text
            assert not text.endswith(".")
        assert fault.message[:1] == fault.message[:1].lower() or fault.message.split()[0] in broken(case)


def test_every_code_has_a_case() -> None:
    assert set(MENDS) - {case["code"] for case in CASES} == OF_THE_TEXT_ITSELF
