"""What docker/compose.yaml puts together, run without an engine: PostgreSQL, its roles, the migration, two
servers under the role that may not change the ledger, and the proxy with docker/Caddyfile, over TLS.

    python .ci/together.py CADDY

CADDY is the proxy's program. Ends with 0 when all holds that is told; the last line counts.
"""

from __future__ import annotations

import json
import os
import shutil
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from http.client import HTTPException, HTTPResponse, HTTPSConnection
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Event
from typing import Any
from urllib.request import urlopen

from sqlalchemy import text

from service.demo.keys import STAFF_KEY
from service.demo.making import fill
from service.store.engine import open_engine, reading
from tests.endurance.serving import Served, free_port
from tests.support.postgres import USER, Server, postgres, programs

ROOT = Path(__file__).resolve().parent.parent
DATABASE = "shop"
PATIENCE = 60.0
DRAIN = "3"
SLOW = 60
"""Clients that never finish their request: more than the servers have threads."""
SOON = 3.0
"""Seconds in which others are answered all the same."""
SIZE = 1024 * 1024
PAUSE = 0.15
"""Between a client's requests: together they keep within the rate of the demo's key."""

_told = 0


def must(holds: object, what: str) -> None:
    """Tell what was shown, or end."""
    global _told  # noqa: PLW0603 - a count for the last line
    if not holds:
        sys.exit(f"FAILED: {what}")
    _told += 1
    print(f"ok: {what}", flush=True)


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


@dataclass(frozen=True, slots=True)
class Front:
    """The proxy."""

    port: int
    trusted: ssl.SSLContext

    def connect(self) -> HTTPSConnection:
        return HTTPSConnection("localhost", self.port, timeout=90, context=self.trusted)

    def ask(self, path: str, **sent: Any) -> tuple[int, HTTPResponse, bytes]:
        """One request on a connection of its own."""
        connection = self.connect()
        try:
            return asked(connection, path, **sent)
        finally:
            connection.close()


def asked(
    connection: HTTPSConnection, path: str, body: object = None, headers: dict[str, str] | None = None
) -> tuple[int, HTTPResponse, bytes]:
    """A request to the proxy with the demo's key; POST where something is sent."""
    sent = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
    kind = {} if body is None else {"Content-Type": "application/json"}
    every = {"Authorization": f"Bearer {STAFF_KEY}", **kind, **(headers or {})}
    connection.request("GET" if body is None else "POST", path, sent, every)
    response = connection.getresponse()
    return response.status, response, response.read()


@contextmanager
def proxied(caddy: str, folder: Path, servers: tuple[Served, ...]) -> Iterator[Front]:
    """The proxy with the file of docker/, on ports of this run."""
    port, admin = free_port(), free_port()
    with (folder / "proxy.log").open("wb") as log:
        process = subprocess.Popen(
            [caddy, "run", "--config", ROOT / "docker/Caddyfile", "--adapter", "caddyfile"],
            env={
                **os.environ,
                "ADMIN": f"localhost:{admin}",
                "HTTP_PORT": str(free_port()),
                "HTTPS_PORT": str(port),
                "SITE": "localhost",
                "UPSTREAMS": " ".join(f"127.0.0.1:{server.port}" for server in servers),
                "XDG_CONFIG_HOME": str(folder / "config"),
                "XDG_DATA_HOME": str(folder / "data"),
            },
            stdout=log,
            stderr=log,
        )
        try:
            certificate = folder / "data/caddy/pki/authorities/local/root.crt"
            until(certificate.is_file, "the proxy has a certificate")
            front = Front(port, ssl.create_default_context(cafile=certificate))
            until(lambda: answers(front), "the proxy answers over TLS")
            alive = f"http://localhost:{admin}/reverse_proxy/upstreams"
            with urlopen(alive, timeout=5) as told:
                must(told.status == 200, "and its health check does")
            yield front
        finally:
            process.terminate()
            must(process.wait(40) == 0, "the proxy stops in order")


def until(holds: Callable[[], bool], what: str) -> None:
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        if holds():
            must(True, what)
            return
        time.sleep(0.1)
    must(False, what)


def answers(front: Front) -> bool:
    with suppress(OSError, HTTPException):
        return front.ask("/v1/models")[0] == 200
    return False


def look_in(front: Front) -> None:
    """What is seen from outside."""
    inside = (
        "/metrics",
        "/metrics/",
        "//metrics",
        "/%6Detrics",
        "/METRICS",
        "/v1/../metrics",
        "/readyz",
        "/",
    )
    must({front.ask(path)[0] for path in inside} == {404}, "metrics and readiness stay inside")
    public = ("/openapi.yaml", "/docs", "/healthz")
    seen = {path: front.ask(path)[0] for path in public}
    must(set(seen.values()) == {200}, f"the document, its pages and health do not {seen}")
    _, response, _ = front.ask("/v1/models")
    must("Via" not in response.headers, "the proxy does not name itself")
    must("max-age" in response.headers["Strict-Transport-Security"], "browsers are told to keep to TLS")
    # Whitespace is no content, but has a size.
    question = json.dumps({"unit": {"model": "wren-8"}, "boards": [{"part": "LM-9100"}]}).encode()
    full = question + b" " * (SIZE - len(question))
    must(front.ask("/v1/fit-checks", body=full)[0] == 200, "a body of 1 MiB is read")
    must(front.ask("/v1/fit-checks", body=full + b" ")[0] == 413, "a larger one is refused")


def be_slow(front: Front) -> None:
    """Many who send a little and then nothing; nobody else notices."""
    head = (
        f"POST /v1/fit-checks HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {STAFF_KEY}\r\n"
        "Content-Type: application/json\r\nContent-Length: 500\r\n\r\n{"
    )
    with ExitStack() as stack:
        for _ in range(SLOW):
            bare = socket.create_connection(("localhost", front.port), timeout=30)
            slow = stack.enter_context(front.trusted.wrap_socket(bare, server_hostname="localhost"))
            slow.sendall(head.encode())
        worst = 0.0
        for _ in range(20):
            began = time.monotonic()
            status = front.ask("/v1/models")[0]
            worst = max(worst, time.monotonic() - began)
            if status != 200:
                must(False, f"somebody is answered with {status} beside slow clients")
        must(worst < SOON, f"beside {SLOW} slow clients others are answered within {worst:.2f} s")


@dataclass
class Load:
    """What became of the requests of some clients."""

    asked: int = 0
    recorded: list[int] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)


def load(front: Front, name: str, stop: Event) -> Load:
    """Ask and record on one connection until told to stop, as a till does."""
    found, connection, number = Load(), front.connect(), 0
    while not stop.is_set():
        number += 1
        time.sleep(PAUSE)
        board = f"{name}-{number}"
        events = {"events": [{"kind": "received", "data": {"board": board, "part": "LM-9100"}}]}
        for path, body in (("/v1/models", None), ("/v1/events", events)):
            try:
                key = {"Idempotency-Key": board} if body else {}
                status, _, told = asked(connection, path, body, key)
            except (OSError, HTTPException) as error:
                status, told = 0, repr(error).encode()
                connection.close()
                connection = front.connect()
            found.asked += 1
            if status not in (200, 201):
                found.failed.append(f"{path}: {status} {told[:200]!r}")
            elif body:
                found.recorded.append(json.loads(told)["events"][0]["seq"])
    connection.close()
    return found


def restart(place: Place, front: Front, servers: tuple[Served, ...]) -> None:
    """One host after the other is restarted, then one is killed, and no client hears of it."""
    stop, began = Event(), datetime.now(UTC)
    with ThreadPoolExecutor(4) as pool:
        loads = [pool.submit(load, front, f"TILL-{number}", stop) for number in range(4)]
        try:
            for server in servers:
                time.sleep(1)
                server.stop()
                time.sleep(3)
            servers[0].kill_all()
            time.sleep(3)
        finally:
            stop.set()
        found = [each.result() for each in loads]
    failed = [each for one in found for each in one.failed]
    count = sum(one.asked for one in found)
    must(not failed, f"none of {count} requests is lost while hosts are restarted and killed {failed[:3]}")
    recorded = sorted(number for one in found for number in one.recorded)
    engine = open_engine(place.server.url.replace("/postgres?", f"/{DATABASE}?"))
    with reading(engine) as connection:
        chosen = text("SELECT seq FROM events WHERE recorded_at >= :since AND kind = 'received' ORDER BY seq")
        kept = list(connection.execute(chosen, {"since": began}).scalars())
    must(kept == recorded, f"each of {len(recorded)} writes is recorded once")
    engine.dispose()


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


def main(caddy: str) -> None:
    with TemporaryDirectory() as folder, postgres(durable=True) as server, ExitStack() as stack:
        place = Place(Path(folder), server)
        make_roles(place)
        migrate(place)
        settings = place.settings("service")
        password = {name: value for name, value in settings.items() if name.endswith("_FILE")}
        servers = tuple(
            Served(
                settings["BOARDFIT_DATABASE_URL"],
                place.folder / f"{name}.log",
                environment={**password, "BOARDFIT_DRAIN_SECONDS": DRAIN, "BOARDFIT_RATE_STORE": "database"},
            )
            for name in ("one", "other")
        )
        for each in servers:
            stack.callback(each.end)
            each.start()
        with proxied(caddy, place.folder, servers) as front:
            look_in(front)
            be_slow(front)
            restart(place, front, servers)
        back_up(place)
    print(f"all {_told} hold")


if __name__ == "__main__":
    main(sys.argv[1])
