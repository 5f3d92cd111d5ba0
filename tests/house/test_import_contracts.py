"""The import contracts of pyproject.toml are kept: imports go inward only."""

from __future__ import annotations

from pathlib import Path

import pytest
from importlinter.cli import lint_imports

from tests.house.tree import ROOT


def kept(configuration: Path) -> bool:
    return lint_imports(config_filename=str(configuration), no_cache=True, no_logo=True) == 0


@pytest.fixture(autouse=True)
def in_the_repository(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    monkeypatch.syspath_prepend(str(ROOT))


def test_every_contract_is_kept(capsys: pytest.CaptureFixture[str]) -> None:
    assert kept(ROOT / "pyproject.toml"), capsys.readouterr().out


def test_a_layer_turned_round_is_found(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    turned = tmp_path / "turned.toml"
    turned.write_text(
        '[tool.importlinter]\nroot_packages = ["service"]\n'
        '[[tool.importlinter.contracts]]\nname = "turned round"\ntype = "layers"\n'
        'layers = ["service.domain.terms", "service.domain.catalogue"]\n',
        encoding="utf-8",
    )
    assert not kept(turned), capsys.readouterr().out
