"""Whoever switches a check off says why, in the same place."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.house.tree import ROOT, name, python_files

WAIVER = re.compile(r"#\s*(?:noqa|type:\s*ignore|pragma)\b", re.IGNORECASE)
EXPLAINED = re.compile(r"#\s*(?:noqa: [A-Z0-9, ]+?|type: ignore\[[a-z, -]+\])\s+[#—-]\s*\S+ \S+")
LISTED = re.compile(r'^    "(?P<code>[A-Z]+\d*)",(?P<reason>.*)$')

HERE = "tests/house/test_waivers.py"


def unexplained(text: str) -> list[int]:
    """The lines that waive a check and name no code or no reason."""
    lines = text.splitlines()
    return [at for at, line in enumerate(lines, 1) if WAIVER.search(line) and not EXPLAINED.search(line)]


def rules_listed_bare(text: str) -> Iterator[str]:
    """The ruff rules that an `ignore` list of pyproject.toml names with no comment behind."""
    for line in text.splitlines():
        listed = LISTED.match(line)
        if listed and len(listed["reason"].strip("# ").split()) < 2:
            yield listed["code"]


def test_a_waiver_in_the_code_has_its_code_and_reason() -> None:
    files = [path for path in python_files("service", "migrations", "tests") if name(path) != HERE]
    found = {name(path): unexplained(path.read_text(encoding="utf-8")) for path in files}
    assert {path: lines for path, lines in found.items() if lines} == {}


def test_a_rule_that_is_off_for_the_project_has_its_reason() -> None:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert list(rules_listed_bare(text)) == []


def test_the_checks_can_fail() -> None:
    bare = [
        "x = 1  # noqa",
        "x = 1  # noqa: E501",
        "x = 1  # type: ignore",
        "x = 1  # type: ignore[arg-type]",
    ]
    for line in bare:
        assert unexplained(line) == [1], line
    assert unexplained("x = 1  # noqa: E501 - the address is one word") == []
    assert unexplained("x = f()  # type: ignore[no-untyped-call]  # its stubs leave it out") == []
    assert list(rules_listed_bare('ignore = [\n    "D100",\n    "D104", # the package says it\n]')) == [
        "D100"
    ]
