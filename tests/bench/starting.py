"""From the command to the first answer, what a worker holds in memory, and what compiling takes."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from itertools import cycle, repeat
from pathlib import Path
from statistics import median

from service.domain.catalogue.compiled import compile_catalogue
from service.papers import read_catalogue
from service.store.engine import open_engine
from tests.bench.growth import LARGE, board, make_ledger, received_boards, unit
from tests.endurance.serving import Served
from tests.papers.test_a_catalogue_of_the_largest_size import large
from tests.soak.asks import Ask
from tests.soak.load import as_fast_as_it_goes, written
from tests.soak.processes import cpu, sample
from tests.support.keys import SUITE, put_suite_key

STARTS = 5
ASKED = 5.0
"""Seconds of questions about ever other boards, before memory is looked at."""
PARTS, MODELS = 5_000, 500


def starting() -> Iterator[str]:
    """A worker on a file of 1,000,000 boards (BENCH_BOARDS): seconds to its first answer, and its memory."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        file = folder / "ledger.db"
        schemes = make_ledger(file, LARGE, received_boards)
        engine = open_engine(f"sqlite:///{file}")
        put_suite_key(engine)
        engine.dispose()
        targets = [
            f"/v1/fit?board={board(schemes, number)}&unit={unit(schemes, number)}"
            for number in range(0, LARGE, max(10, LARGE // 2_000 // 10 * 10))
        ]
        requests = [written(Ask("fit", "GET", target), SUITE.written()) for target in targets]
        # The bytecode is there, as in the image; the first of the starts writes it where it is not.
        environment = {"BOARDFIT_WORKERS": "1", "PYTHONDONTWRITEBYTECODE": ""}
        server = Served(f"sqlite:///{file}", folder / "served.log", environment=environment)
        try:
            yield from _starts(server, requests)
        finally:
            server.end()


def _starts(server: Served, requests: list[bytes]) -> Iterator[str]:
    took, spent = [], []
    for request in requests[:STARTS]:
        server.end()
        began = time.perf_counter()
        server.launch()
        while as_fast_as_it_goes(server.port, repeat(request), 1, 0.001).unexpected:
            time.sleep(0.01)
        took.append(time.perf_counter() - began)
        spent.append(sum(map(cpu, (server.master, *server.workers()))))
    first, processor = median(took), median(spent)
    yield f"{LARGE:,} boards: {first:.2f} s to the first answer, {processor:.2f} s of the processor"
    (worker,) = server.workers()
    found = as_fast_as_it_goes(server.port, cycle(requests), 4, ASKED)
    held = sample(worker, 0.0)
    assert held is not None
    yield (
        f"after {len(found.times):,} questions: {held.memory / 2**20:.0f} MiB of its own, "
        f"{held.resident / 2**20:.0f} MiB with what is mapped of files"
    )


def compiling() -> Iterator[str]:
    """A catalogue of 5,000 parts and 500 models, read and compiled; one core."""
    text = large(PARTS, MODELS)
    start = time.process_time()
    catalogue = read_catalogue(text)
    read = time.process_time() - start
    times = []
    for _ in range(5):
        start = time.process_time()
        compile_catalogue(catalogue)
        times.append(time.process_time() - start)
    yield f"{PARTS:,} parts, {MODELS} models: compiled in {median(times):.2f} s, read in {read:.1f} s"
