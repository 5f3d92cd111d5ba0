"""The README's table of settings is the list of the code; the README names no setting that does not exist."""

from __future__ import annotations

import re

from service.settings import PREFIX, SETTINGS_FILE, accepted, documented
from tests.house.readme import readme

ROW = re.compile(rf"^\| `({PREFIX}[A-Z_]+)` \| `([^`]+)` \| (\S.*) \|$", re.MULTILINE)


def test_the_table_of_the_readme_is_the_list() -> None:
    """In the same order, with the same defaults."""
    rows = [(name, default) for name, default, _ in ROW.findall(readme())]
    assert rows == [(name, default) for name, default, _ in documented()]


def test_the_readme_names_no_setting_that_does_not_exist() -> None:
    known = {PREFIX + name.upper() for name in accepted()} | {SETTINGS_FILE}
    assert set(re.findall(rf"\b{PREFIX}[A-Z_]+\b", readme())) <= known
