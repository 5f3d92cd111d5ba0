"""A PostgreSQL database into one file and back, by PostgreSQL's own programs."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import NamedTemporaryFile

from sqlalchemy import Engine, inspect, make_url

from service.files.whole import under_way
from service.store.backup import Refused, refuse_to_write_over

SECRETS = ("password", "sslpassword", "oauth_client_secret", "scram_client_key", "scram_server_key")
"""Parameters of libpq that nobody else may read."""

SERVICE = "boardfit"
LONGEST_SECRET = 900
"""libpq reads lines of 1,023 bytes."""


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
    with secrets_apart(url) as (plain, told):
        done = subprocess.run(  # noqa: S603 - a program of PostgreSQL, and no shell reads the words
            [found, f"--dbname={plain}", *arguments],
            env={**os.environ, **told},
            stdin=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            check=False,
        )
    if done.returncode:
        raise Refused(f"{program} failed: {_reason(done.stderr.decode(errors='replace').splitlines())}")


@contextmanager
def secrets_apart(url: str) -> Iterator[tuple[str, dict[str, str]]]:
    """A URL for PostgreSQL's programs, and what their environment has to tell besides. Raises Refused.

    Everybody on the machine could read a secret among the arguments. The password has a variable; what has
    none is read by libpq from the file of a connection service, which is there as long as the block.
    """
    target = make_url(url).set(drivername="postgresql")
    told = {name: _last(value) for name, value in target.query.items() if name in SECRETS}
    # `set` would take None for what is to stay.
    plain = target._replace(password=None).difference_update_query(SECRETS).render_as_string()
    password = told.pop("password", target.password)
    variables = {"PGPASSWORD": password} if password else {}
    if not told:
        yield plain, variables
        return
    if "service" in target.query or "PGSERVICE" in os.environ:
        raise Refused(f"there is a connection service already: tell {' and '.join(told)} in its file")
    with NamedTemporaryFile("w", encoding="utf-8", prefix=SERVICE) as file:  # which its owner alone may read
        file.write(_service(told))
        file.flush()
        yield plain, {**variables, "PGSERVICE": SERVICE, "PGSERVICEFILE": file.name}


def _last(value: str | tuple[str, ...]) -> str:
    """What stands of a parameter that may have been told several times."""
    return value if isinstance(value, str) else value[-1]


def _service(told: Mapping[str, str]) -> str:
    """The text of a file of connection services (PostgreSQL's manual, "The Connection Service File").

    Raises Refused for what its lines cannot say.
    """
    for name, value in told.items():
        if value != value.rstrip() or len(value.splitlines()) > 1 or len(value.encode()) > LONGEST_SECRET:
            raise Refused(
                f"PostgreSQL's programs can be told {name} only if it is a line of at most {LONGEST_SECRET} "
                "bytes, with no blank at its end"
            )
    return "\n".join([f"[{SERVICE}]", *(f"{name}={value}" for name, value in told.items()), ""])


def _reason(lines: Sequence[str]) -> str:
    """The first error that was told. What follows it may be a whole statement."""
    errors = [line for line in lines if "error:" in line]
    return next(iter(errors or lines[-1:]), "it did not say why")
