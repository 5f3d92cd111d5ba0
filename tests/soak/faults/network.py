"""A network between service and database that is cut: packets go out and no word comes back.

The database has a network namespace of its own, joined to the service's by a pair of virtual interfaces; both
lie in namespaces of this command, so that no packet leaves the machine. Where the system does not allow that,
a relay of our own stands between them and stops passing anything on.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import make_url, text

from service.store.engine import reading
from service.store.postgresql import CONNECT_SECONDS
from tests.endurance.disks import Trouble
from tests.soak.faults.relay import Relay
from tests.soak.faults.scenes import LOCK, SILENT, Scene
from tests.soak.running import a_served_shop
from tests.support.databases import opened
from tests.support.postgres import Server, postgres

HERE, THERE = "192.0.2.1", "192.0.2.2"
"""Addresses for documentation (RFC 5737): nobody has them."""
NOBODY = "02:00:00:00:00:99"
"""An address of an interface that is not there."""
TOOLS = ("unshare", "nsenter", "ip")
INSIDE = "BOARDFIT_TESTS_INSIDE"
"""Tells a command that it is in a network namespace of its own already."""
VANISHED = 11.0
"""Seconds after which the system gives up a connection from whose other end nothing comes, and a little."""


def may_have_networks() -> bool:
    """Whether this user may make network namespaces: in a container he often may not."""
    if os.getuid() != 0 or not all(map(shutil.which, TOOLS)):
        return False
    cable = ("unshare", "--net", "ip", "link", "add", "bf0", "type", "veth", "peer", "name", "bf1")
    tried = subprocess.run(cable, capture_output=True, check=False)
    return tried.returncode == 0


@contextmanager
def cut(folder: Path) -> Iterator[Scene]:
    """By namespaces where this command is in one of its own, else by a relay."""
    with (between_namespaces if os.environ.get(INSIDE) else by_relay)(folder) as scene:
        yield scene


@contextmanager
def between_namespaces(folder: Path) -> Iterator[Scene]:
    run("ip", "link", "set", "lo", "up")
    settings = {"listen_addresses": "*"}
    with postgres(durable=True, around=lambda _: ("unshare", "--net"), settings=settings) as database:
        join(database)
        let_in(database)
        url = make_url(database.url).set(host=THERE, query={})
        with a_served_shop(url.render_as_string(), folder) as shop:
            left: set[int] = set()

            def begin() -> None:
                left.update(sessions(database))
                misdirect(database)

            yield Scene(
                shop=shop,
                trouble=Trouble(begin=begin, end=lambda: direct(database)),
                afterwards=lambda: still_there(left & sessions(database)),
                by="network namespaces: what either host sends goes to a station that is not there",
                longest=VANISHED + CONNECT_SECONDS,
                recovery=LOCK + 10,
            )


def join(database: Server) -> None:
    """Lay a cable between this namespace and the database's."""
    pid = str(database.pid)
    run("ip", "link", "add", "bf0", "type", "veth", "peer", "name", "bf1", "netns", pid)
    run("ip", "addr", "add", f"{HERE}/30", "dev", "bf0")
    run("ip", "link", "set", "bf0", "up")
    there(database, "ip", "link", "set", "lo", "up")
    there(database, "ip", "addr", "add", f"{THERE}/30", "dev", "bf1")
    there(database, "ip", "link", "set", "bf1", "up")


def let_in(database: Server) -> None:
    """Have the server take connections from the service's address; there are no others in its namespace."""
    with opened(database.url) as engine, reading(engine) as connection:
        file = Path(str(connection.execute(text("SHOW hba_file")).scalar_one()))
        with file.open("a", encoding="utf-8") as rules:
            rules.write(f"host all all {HERE}/32 trust\n")
        connection.execute(text("SELECT pg_reload_conf()"))


def misdirect(database: Server) -> None:
    """Let everything that either sends vanish on the way: neither is told so by its own system."""
    wrong = ("lladdr", NOBODY, "nud", "permanent")
    run("ip", "neigh", "replace", THERE, "dev", "bf0", *wrong)
    there(database, "ip", "neigh", "replace", HERE, "dev", "bf1", *wrong)


def direct(database: Server) -> None:
    """Let both find each other again."""
    run("ip", "neigh", "del", THERE, "dev", "bf0")
    there(database, "ip", "neigh", "del", HERE, "dev", "bf1")


def sessions(database: Server) -> set[int]:
    """The service's sessions at the server."""
    with opened(database.url) as engine, reading(engine) as connection:
        found = connection.execute(text("SELECT pid, client_addr FROM pg_stat_activity")).all()
    return {pid for pid, address in found if str(address).startswith(HERE)}


def still_there(sessions: set[int]) -> Sequence[str]:
    """They belong to nobody: a server takes so many, and no more."""
    return [f"the server keeps {len(sessions)} sessions of a host that vanished"] if sessions else []


def run(*command: str) -> None:
    subprocess.run(command, check=True, capture_output=True)


def there(database: Server, *command: str) -> None:
    """Run a command in the database's namespace."""
    run("nsenter", "--target", str(database.pid), "--net", *command)


@contextmanager
def by_relay(folder: Path) -> Iterator[Scene]:
    """The relay goes on taking what is sent, so that the system notices nothing: as a proxy between does."""
    with postgres(durable=True) as database, Relay(database.folder / ".s.PGSQL.5432") as relay:
        url = make_url(database.url).set(host="127.0.0.1", port=relay.port, query={})
        with a_served_shop(url.render_as_string(), folder) as shop:
            yield Scene(
                shop=shop,
                trouble=Trouble(begin=relay.cut, end=relay.heal),
                by="a relay between service and database that passes nothing on",
                longest=SILENT,
                recovery=LOCK + 10,
            )
