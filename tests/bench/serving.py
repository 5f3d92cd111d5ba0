"""What answers take of the processor over HTTP, one worker each: ours, a bare Flask route's, Datasette's."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from itertools import repeat
from pathlib import Path
from statistics import median

from service.demo import serials as s
from service.demo.making import make_or_reuse
from service.store.engine import open_engine
from tests.bench.worlds import FIT
from tests.endurance.serving import Served, children, free_port
from tests.soak.asks import Ask
from tests.soak.load import as_fast_as_it_goes, written
from tests.soak.processes import cpu
from tests.support.keys import SUITE, put_suite_key

TURNS = 7
SECONDS = 1.5
CLIENTS = 4
BOARD = s.BLANK_MAIN
GTHREAD = ("--workers", "1", "--threads", "8", "--worker-class", "gthread", "--log-level", "warning")


@dataclass(frozen=True, slots=True)
class Site:
    """A server that runs, and what is asked of it."""

    port: int
    pids: Sequence[int]
    request: bytes


@dataclass(frozen=True, slots=True)
class Cost:
    """Of one answer: seconds of the processor, and seconds on the clock with so many clients at once."""

    cpu: float
    wall: float


def serving() -> Iterator[str]:
    """Requests per second of processor time and on the clock, side by side: GET /v1/fit, one board, a row."""
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        file = make_or_reuse(folder / "ledger.db")
        engine = open_engine(f"sqlite:///{file}")
        put_suite_key(engine)
        engine.dispose()
        server = _ours(stack, file, folder)
        board = f"/v1/boards/{BOARD}"
        sites = {
            "bare Flask route": stack.enter_context(_bare(folder)),
            "GET /v1/fit": Site(server.port, server.workers(), _asked(FIT)),
            "GET /v1/boards": Site(server.port, server.workers(), _asked(board)),
            "Datasette": stack.enter_context(_datasette(file, folder)),
        }
        found = _measured(sites)
        for name, cost in found.items():
            yield f"{name}: {1 / cost.cpu:,.0f} for each second of the processor, {1 / cost.wall:,.0f}/s"
        bare, fit, row = found["bare Flask route"], found["GET /v1/fit"], found["GET /v1/boards"]
        share = bare.cpu / fit.cpu
        yield f"GET /v1/fit: {share:.0%} of what a bare route answers for each second of the processor"
        other = found["Datasette"]
        yield (
            f"GET /v1/boards: {other.wall / row.wall:.1f} times the look-ups a second of Datasette, "
            f"{other.cpu / row.cpu:.1f} times by processor time"
        )


def _measured(sites: Mapping[str, Site]) -> Mapping[str, Cost]:
    """Every site in each turn, and the median of its turns."""
    costs: dict[str, list[Cost]] = {name: [] for name in sites}
    for turn in range(TURNS + 1):
        for name, site in sites.items():
            cost = _loaded(name, site)
            if turn:
                costs[name].append(cost)
    return {
        name: Cost(median(each.cpu for each in found), median(each.wall for each in found))
        for name, found in costs.items()
    }


def _loaded(name: str, site: Site) -> Cost:
    before = sum(map(cpu, site.pids))
    found = as_fast_as_it_goes(site.port, repeat(site.request), CLIENTS, SECONDS)
    if found.unexpected:
        raise RuntimeError(f"{name}: {found.unexpected} of {len(found.times)} were not answered as expected")
    spent = sum(map(cpu, site.pids)) - before
    return Cost(spent / len(found.times), found.seconds / len(found.times))


def _asked(target: str) -> bytes:
    return written(Ask(kind="bench", method="GET", target=target), SUITE.written())


def _ours(stack: ExitStack, file: Path, folder: Path) -> Served:
    server = Served(f"sqlite:///{file}", folder / "ours.log", environment={"BOARDFIT_WORKERS": "1"})
    server.program.remove("--quiet")  # a shop has its lines in the log
    stack.callback(server.end)
    server.start()
    return server


@contextmanager
def _bare(folder: Path) -> Iterator[Site]:
    port, request = free_port(), _asked("/bare")
    served = ("gunicorn", *GTHREAD, "--no-control-socket", "--bind", f"127.0.0.1:{port}")
    with _running(folder, *served, "tests.bench.worlds:bare_app()") as pid:
        _until_answered(port, request)
        yield Site(port, children(pid), request)


@contextmanager
def _datasette(file: Path, folder: Path) -> Iterator[Site]:
    """The row as JSON, by its key, of the very file."""
    port, request = free_port(), _asked(f"/{file.stem}/boards/{BOARD}.json")
    with _running(folder, "datasette", "serve", str(file), "--port", str(port)) as pid:
        _until_answered(port, request)
        yield Site(port, [pid], request)


@contextmanager
def _running(folder: Path, module: str, *command: str) -> Iterator[int]:
    with (folder / f"{module}.log").open("wb") as log:
        process = subprocess.Popen([sys.executable, "-m", module, *command], stdout=log, stderr=log)
    try:
        yield process.pid
    finally:
        process.terminate()
        process.wait(30)


def _until_answered(port: int, request: bytes) -> None:
    deadline = time.monotonic() + 60
    while as_fast_as_it_goes(port, repeat(request), 1, 0.1).unexpected:
        if time.monotonic() > deadline:
            raise RuntimeError(f"nobody answers at port {port}")
        time.sleep(0.2)
