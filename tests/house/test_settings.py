"""Every setting of the service stands in the README, with its default; the README names no other."""

from __future__ import annotations

import re

import pytest

from service.settings import PREFIX, documented
from tests.house.readme import readme

SETTINGS = {name: default for name, default, _ in documented()}


@pytest.mark.parametrize("name", SETTINGS)
def test_a_setting_is_documented_with_its_default(name: str) -> None:
    rows = [line for line in readme().splitlines() if f"`{name}`" in line]
    assert any(f"`{SETTINGS[name]}`" in row for row in rows), f"no line has `{name}` and `{SETTINGS[name]}`"


def test_the_readme_names_no_setting_that_does_not_exist() -> None:
    assert set(re.findall(rf"\b{PREFIX}[A-Z_]+\b", readme())) <= set(SETTINGS)
