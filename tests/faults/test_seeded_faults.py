"""Faults put into the code on purpose are noticed, each by the test that its line in `faults.yaml` names.

A fault goes into a copy of the package, in a process of its own; the test there has to fail, and to pass on a
copy without any fault. The plain suite tries a few of them, the deep run all.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).parents[2]
CASE = "tests/trade/test_cases.py::test_it_is_answered_as_a_careful_dealer_would"
PLAIN = {"PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
"""These tests need no fixtures and no plugins, which take longer to start than the tests take."""
PASSED, FAILED = 0, 1
"""What pytest ends with. Everything else is an error of ours: a test not found, a copy that can't be read."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One line of the table."""

    module: Path
    old: str
    new: str
    caught_by: str
    """A test's id."""
    also: dict[str, str] = field(default_factory=dict)
    """What else has to change for the fault to be a program at all."""
    sample: bool = False
    """Whether it is tried in the plain suite."""

    def put_into(self, package: Path) -> None:
        file = package / self.module
        text = file.read_text(encoding="utf-8")
        for old, new in {self.old: self.new, **self.also}.items():
            assert text.count(old) == 1, f"{self.module} has {text.count(old)} times: {old}"
            text = text.replace(old, new)
        file.write_text(text, encoding="utf-8")


def table() -> list[Fault]:
    lines = yaml.safe_load((ROOT / "tests/faults/faults.yaml").read_text(encoding="utf-8"))
    return [
        Fault(
            module=Path("domain") / line["in"],
            old=line["old"],
            new=line["new"],
            caught_by=line["caught_by"] if "::" in line["caught_by"] else f"{CASE}[{line['caught_by']}]",
            also=line.get("also", {}),
            sample=line.get("sample", False),
        )
        for line in lines
    ]


FAULTS = table()
SAMPLE = [fault for fault in FAULTS if fault.sample]
NAMES = [f"{at} {fault.module.stem}" for at, fault in enumerate(FAULTS)]


@pytest.fixture
def package(tmp_path: Path) -> Path:
    """A copy of the package."""
    # Bytecode that another test writes meanwhile is there under such a name until it is whole.
    unfinished = shutil.ignore_patterns("*.pyc.*")
    return Path(shutil.copytree(ROOT / "service", tmp_path / "service", ignore=unfinished))


def outcome(package: Path, tests: Iterable[str]) -> tuple[int, str]:
    """What becomes of these tests with that copy in the place of the package."""
    run = subprocess.run(
        # -P: the working folder, where the real package is, does not come first.
        [
            sys.executable,
            "-P",
            "-m",
            "pytest",
            "-qx",
            "--noconftest",
            "-p",
            "no:cacheprovider",
            "-m",
            "",
            *tests,
        ],
        env={**os.environ, **PLAIN, "PYTHONPATH": f"{package.parent}{os.pathsep}{ROOT}"},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    return run.returncode, run.stdout[-2_000:] + run.stderr[-2_000:]


@pytest.mark.parametrize(
    "fault",
    [
        pytest.param(fault, id=name, marks=[] if fault.sample else [pytest.mark.deep])
        for name, fault in zip(NAMES, FAULTS, strict=True)
    ],
)
def test_a_fault_is_noticed(fault: Fault, package: Path) -> None:
    fault.put_into(package)
    ended, told = outcome(package, [fault.caught_by])
    assert ended == FAILED, told


@pytest.mark.parametrize(
    "faults", [pytest.param(SAMPLE, id="sample"), pytest.param(FAULTS, id="all", marks=pytest.mark.deep)]
)
def test_the_same_tests_pass_without_a_fault(faults: list[Fault], package: Path) -> None:
    ended, told = outcome(package, dict.fromkeys(fault.caught_by for fault in faults))
    assert ended == PASSED, told


@pytest.mark.parametrize("fault", FAULTS, ids=NAMES)
def test_a_fault_finds_its_text_and_its_test(fault: Fault) -> None:
    text = (ROOT / "service" / fault.module).read_text(encoding="utf-8")
    for old, new in {fault.old: fault.new, **fault.also}.items():
        assert text.count(old) == 1
        assert new != old
    module, _, test = fault.caught_by.partition("::")
    assert f"def {test.partition('[')[0]}(" in (ROOT / module).read_text(encoding="utf-8")


def test_faults_are_of_all_kinds() -> None:
    kinds = Counter(fault.module.parts[1] for fault in FAULTS)
    assert len(FAULTS) >= 50
    assert len(SAMPLE) >= 4
    assert len({(fault.module, fault.old) for fault in FAULTS}) == len(FAULTS)
    assert kinds.keys() >= {"rules", "catalogue", "fit", "facts", "steps", "capability", "cautions.py"}
    assert min(kinds[kind] for kind in ("rules", "fit", "facts", "steps", "capability")) >= 5
