"""A PostgreSQL database into one file and back, by PostgreSQL's own programs."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from sqlalchemy import Engine, inspect, make_url

from service.store.backup import Refused


def dump(url: str, file: Path) -> None:
    """Write a database of one moment, while others go on writing. Raises Refused."""
    if file.exists():
        raise Refused(f"{file} is there already: a backup is never written over, choose another name")
    unfinished = file.with_name(f"{file.name}.part")
    try:
        _run("pg_dump", url, "--format=custom", "--no-owner", "--no-privileges", f"--file={unfinished}")
        with unfinished.open("rb") as written:
            os.fsync(written.fileno())
        unfinished.replace(file)
    finally:
        unfinished.unlink(missing_ok=True)


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
    target = make_url(url)
    found = shutil.which(program)
    if found is None:
        raise Refused(
            f"{program} is not on this machine: install PostgreSQL's client programs, or run {program} where "
            "the server is"
        )
    plain = target.set(drivername="postgresql", password=None).render_as_string(hide_password=False)
    # A password among the arguments could be read by everybody on the machine.
    secret = {} if target.password is None else {"PGPASSWORD": target.password}
    done = subprocess.run(  # noqa: S603 - a program of PostgreSQL, and no shell reads the words
        [found, f"--dbname={plain}", *arguments],
        env={**os.environ, **secret},
        stdin=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        check=False,
    )
    if done.returncode:
        raise Refused(f"{program} failed: {_last(done.stderr.decode(errors='replace').splitlines())}")


def _last(lines: Sequence[str]) -> str:
    return lines[-1] if lines else "it did not say why"
