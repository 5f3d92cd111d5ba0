"""The database: its roles, the migration by one and the service by the other, backups."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from showing import must
from sqlalchemy import text

from service.demo.making import fill
from service.store.engine import open_engine, reading
from tests.support.postgres import USER, Server, programs

ROOT = Path(__file__).resolve().parents[2]
DATABASE = "shop"


@dataclass(frozen=True, slots=True)
class Place:
    """Where things lie for this run."""

    folder: Path
    server: Server

    def url(self, role: str, database: str = DATABASE) -> str:
        return f"postgresql://boardfit_{role}@/{database}?host={self.server.folder}"

    def settings(self, role: str, database: str = DATABASE) -> dict[str, str]:
        return {
            "BOARDFIT_DATABASE_URL": self.url(role, database),
            "BOARDFIT_DATABASE_PASSWORD_FILE": str(self.folder / "secrets" / f"{role}_password"),
        }

    def run(self, role: str, *arguments: str, database: str = DATABASE) -> subprocess.CompletedProcess[str]:
        """A command of the service."""
        return subprocess.run(
            [sys.executable, "-m", "service", *arguments],
            env={**_environment(), **self.settings(role, database)},
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )


def _environment() -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("BOARDFIT_")}
    return {**kept, "PYTHONPATH": str(ROOT), "PATH": f"{programs()}:{os.environ['PATH']}"}


def make_roles(place: Place) -> None:
    """As the database's image does when it makes its cluster; from then on, passwords count."""
    shutil.copy(ROOT / "docker/make-secrets", place.folder)
    for _ in range(2):
        subprocess.run([place.folder / "make-secrets"], check=True, stdout=subprocess.DEVNULL)
    modes = {each.stat().st_mode & 0o777 for each in (place.folder / "secrets").iterdir()}
    must(modes == {0o444}, "secrets are made once, and can be read by whoever they are mounted for")
    place.server.administer(f"CREATE DATABASE {DATABASE}")
    subprocess.run(
        [ROOT / "docker/database/roles.sh"],
        env={
            **_environment(),
            "SECRETS": str(place.folder / "secrets"),
            "POSTGRES_USER": USER,
            "POSTGRES_DB": DATABASE,
            "PGHOST": str(place.server.folder),
        },
        check=True,
    )
    engine = open_engine(place.server.url)
    with reading(engine) as connection:
        rules = Path(connection.execute(text("SHOW hba_file")).scalar_one())
        rules.write_text(f"local all {USER} trust\nlocal all all scram-sha-256\n", encoding="utf-8")
        connection.execute(text("SELECT pg_reload_conf()"))
    engine.dispose()


def migrate(place: Place) -> None:
    """The one-shot, three at once."""
    with ThreadPoolExecutor(3) as pool:
        granting = ("migrate", "--grant-to", "boardfit_service")
        done = list(pool.map(lambda _: place.run("owner", *granting), range(3)))
    must({each.returncode for each in done} == {0}, f"the owner migrates and grants {done[0].stderr}")
    again = place.run("owner", *granting)
    must(again.returncode == 0, f"and does so again {again.stderr}")
    password = (place.folder / "secrets/owner_password").read_text(encoding="utf-8")
    engine = open_engine(place.url("owner").replace("@", f":{password}@", 1))
    fill(engine)
    engine.dispose()
    refused = place.run("service", "keys", "make", "till", "--scope", "ask")
    must("permission denied for table keys" in refused.stderr, "the service's role makes no keys")
    wrong = subprocess.run(
        [programs() / "psql", place.url("service"), "--no-password", "--command", "SELECT 1"],
        capture_output=True,
        check=False,
    )
    must(wrong.returncode != 0, "nobody is let in without the password")


def back_up(place: Place) -> None:
    """By the owner, into another database."""
    verified = place.run("service", "verify", "--quiet")
    must(verified.returncode == 0, f"the ledger is {verified.stdout.strip()}{verified.stderr}")
    file = place.folder / "shop.dump"
    must(place.run("owner", "backup", str(file)).returncode == 0, "a backup is made while it serves")
    must(filled(place, "other", "restore", "--quiet", str(file)), "and restored")
    dumped = place.folder / "plain.dump"
    administrator = ("--host", str(place.server.folder), "--username", USER)
    subprocess.run(
        [programs() / "pg_dump", *administrator, "--format=custom", f"--file={dumped}", DATABASE], check=True
    )
    place.server.administer("CREATE DATABASE another OWNER boardfit_owner")
    options = ("--exit-on-error", "--single-transaction", "--no-owner", "--no-privileges")
    subprocess.run(
        [
            programs() / "pg_restore",
            *administrator,
            "--dbname=another",
            "--role=boardfit_owner",
            *options,
            dumped,
        ],
        check=True,
    )
    granted = place.run("owner", "migrate", "--grant-to", "boardfit_service", database="another")
    verified = place.run("service", "verify", "--quiet", database="another")
    must(granted.returncode == verified.returncode == 0, "and so by PostgreSQL's own programs")


def filled(place: Place, name: str, *arguments: str) -> bool:
    """Whether a command of the owner does what it should with a new database."""
    place.server.administer(f"CREATE DATABASE {name} OWNER boardfit_owner")
    return place.run("owner", *arguments, database=name).returncode == 0
