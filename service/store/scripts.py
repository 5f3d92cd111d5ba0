"""The scripts of the folder `migrations`, by alembic."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection


@cache
def known(folder: Path) -> frozenset[str]:
    """Every revision that there is a script for."""
    scripts = ScriptDirectory.from_config(_config(folder))
    return frozenset(each.revision for each in scripts.walk_revisions())


def run(folder: Path, connection: Connection, direction: str, revision: str) -> None:
    """`upgrade` or `downgrade` to a revision, in the transaction of the connection."""
    config = _config(folder)
    config.attributes["connection"] = connection
    getattr(command, direction)(config, revision)


def _config(folder: Path) -> Config:
    config = Config()
    config.set_main_option("script_location", str(folder).replace("%", "%%"))
    return config
