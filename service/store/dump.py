"""A PostgreSQL database into one file and back, by PostgreSQL's own programs."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from sqlalchemy import Engine, inspect, make_url

from service.files.whole import under_way
from service.store.backup import Refused, refuse_to_write_over


def dump(url: str, file: Path) -> None:
    """Write a database of one moment, while others go on writing. Raises Refused."""
    refuse_to_write_over(file)
    with under_way(file) as unfinished:
        _run("pg_dump", url, "--format=custom", "--no-owner", "--no-privileges", f"--file={unfinished}")


def load(engine: Engine, url: str, file: Path) -> None:
    """Fill an empty database from such a file, whole or not at all. Raises Refused."""
    if not file.is_file():
        raise Refused(f"there is no file {file}")
    if inspect(engine).get_table_names():
        raise Refused("the database has tables already: restore into an empty one (createdb makes one)")
    _run(
        "pg_restore",
        url,
        "--exit-on-error",
        "--single-transaction",
        "--no-owner",
        "--no-privileges",
        str(file),
    )


def _run(program: str, url: str, *arguments: str) -> None:
    found = shutil.which(program)
    if found is None:
        raise Refused(
            f"{program} is not on this machine: install PostgreSQL's client programs, or run {program} where "
            "the server is"
        )
    plain, secret = without_password(url)
    done = subprocess.run(  # noqa: S603 - a program of PostgreSQL, and no shell reads the words
        [found, f"--dbname={plain}", *arguments],
        env={**os.environ, **secret},
        stdin=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        check=False,
    )
    if done.returncode:
        raise Refused(f"{program} failed: {_reason(done.stderr.decode(errors='replace').splitlines())}")


def without_password(url: str) -> tuple[str, dict[str, str]]:
    """A URL for PostgreSQL's programs, and what their environment has to tell besides.

    Everybody on the machine could read a password among the arguments.
    """
    target = make_url(url).set(drivername="postgresql")
    password = target.password or target.query.get("password")
    # `set` would take None for what is to stay.
    plain = target._replace(password=None).difference_update_query(["password"])
    secret = {"PGPASSWORD": str(password)} if password else {}
    return plain.render_as_string(hide_password=False), secret


def _reason(lines: Sequence[str]) -> str:
    """The first error that was told. What follows it may be a whole statement."""
    errors = [line for line in lines if "error:" in line]
    return next(iter(errors or lines[-1:]), "it did not say why")
