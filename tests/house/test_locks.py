"""The lock files and pyproject.toml agree, and every package in a lock is told by its hash."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.house.tree import ROOT, project

PIN = re.compile(
    r"^([a-z0-9-]+)==([^ ;]+)(?: ; ([^\\]+))? \\\n((?: +--hash=sha256:[0-9a-f]{64}(?: \\)?\n)+)", re.MULTILINE
)

LOCKS = {
    "docker/requirements.lock": (),
    ".ci/test.lock": ("test",),
    ".ci/dev.lock": ("test", "lint"),
}
"""Each lock of the project with the extras that it holds."""


def pins(path: Path) -> dict[str, str]:
    """The version of every package in a lock; anything but a hashed pin there is an error."""
    text = path.read_text(encoding="utf-8")
    rest = PIN.sub("", text)
    assert rest.strip() == "", f"{path.name} holds more than hashed pins: {rest[:200]!r}"
    return {match[1]: match[2] for match in PIN.finditer(text)}


def asked(extras: tuple[str, ...]) -> list[Requirement]:
    """What pyproject.toml asks for, with these extras."""
    table = project()["project"]
    groups = [table["dependencies"], *(table["optional-dependencies"][extra] for extra in extras)]
    return [Requirement(line) for group in groups for line in group]


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_holds_what_the_project_asks_for(lock: str) -> None:
    pinned = pins(ROOT / lock)
    wanted = asked(LOCKS[lock])
    missing = {
        str(each)
        for each in wanted
        if not each.specifier.contains(pinned.get(canonicalize_name(each.name), "0"))
    }
    assert not missing, f"run .ci/lock: {lock} does not hold {sorted(missing)}"


@pytest.mark.parametrize("lock", LOCKS)
def test_one_package_has_one_version_everywhere(lock: str) -> None:
    widest = pins(ROOT / ".ci/dev.lock")
    assert pins(ROOT / lock).items() <= widest.items()


def test_the_tools_are_pinned_too() -> None:
    lines = (ROOT / ".ci/tools.in").read_text(encoding="utf-8").splitlines()
    pinned = pins(ROOT / ".ci/tools.lock")
    for wanted in (Requirement(line) for line in lines if line and not line.startswith("#")):
        assert wanted.specifier.contains(pinned[canonicalize_name(wanted.name)]), wanted


def test_a_pin_without_a_hash_is_refused(tmp_path: Path) -> None:
    loose = tmp_path / "loose.lock"
    loose.write_text("flask==3.1.3\n", encoding="utf-8")
    with pytest.raises(AssertionError, match="more than hashed pins"):
        pins(loose)
