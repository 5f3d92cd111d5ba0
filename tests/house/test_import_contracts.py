"""The import contracts of pyproject.toml are kept: imports go inward only."""

from __future__ import annotations

import logging
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from importlinter.cli import lint_imports
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.house.tree import ROOT, project


def kept(configuration: Path) -> bool:
    """The linter configures logging for the whole process, which silences every logger that is there."""
    loggers = [each for each in logging.root.manager.loggerDict.values() if isinstance(each, logging.Logger)]
    disabled = [each.disabled for each in loggers]
    try:
        return lint_imports(config_filename=str(configuration), no_cache=True, no_logo=True) == 0
    finally:
        for logger, before in zip(loggers, disabled, strict=True):
            logger.disabled = before


@pytest.fixture(autouse=True)
def in_the_repository(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    monkeypatch.syspath_prepend(str(ROOT))


def test_every_contract_is_kept(capsys: pytest.CaptureFixture[str]) -> None:
    assert kept(ROOT / "pyproject.toml"), capsys.readouterr().out


def test_the_linter_silences_no_log_of_ours() -> None:
    log = logging.getLogger("boardfit")
    before = log.disabled
    kept(ROOT / "pyproject.toml")
    assert log.disabled is before


def test_a_layer_turned_round_is_found(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    turned = tmp_path / "turned.toml"
    turned.write_text(
        '[tool.importlinter]\nroot_packages = ["service"]\n'
        '[[tool.importlinter.contracts]]\nname = "turned round"\ntype = "layers"\n'
        'layers = ["service.domain.terms", "service.domain.catalogue"]\n',
        encoding="utf-8",
    )
    assert not kept(turned), capsys.readouterr().out


def test_every_library_of_the_project_is_kept_out_of_what_decides() -> None:
    contracts = project()["tool"]["importlinter"]["contracts"]
    (decides,) = (each for each in contracts if "service.domain" in each.get("source_modules", ()))
    asked = {canonicalize_name(Requirement(line).name) for line in project()["project"]["dependencies"]}
    ours = {
        module
        for module, names in packages_distributions().items()
        if not module.startswith("_") and asked & {canonicalize_name(name) for name in names}
    }
    assert ours <= set(decides["forbidden_modules"])
    assert len(ours) >= len(asked)
