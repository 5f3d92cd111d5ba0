"""The measures. Each yields lines of figures."""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

from service.demo.world import demo_events
from service.domain.facts.case import CASES_KEPT
from service.domain.facts.question import Question, StatedBoard
from service.domain.fit import worlds
from service.domain.fit.cause import table_of
from service.domain.fit.conclusion import conclude
from service.domain.fit.decision import decide
from service.domain.rules import verdict
from service.domain.terms import RoleId
from tests.bench.access import keys
from tests.bench.cases import compiled_demo, known_cases, known_pairs
from tests.bench.engines import engines
from tests.bench.growth import growth
from tests.bench.importing import import_boards
from tests.bench.serving import serving
from tests.bench.starting import compiling, starting
from tests.bench.stock import candidates
from tests.bench.timing import interleaved
from tests.bench.upgrades import upgrade_plans
from tests.bench.worlds import FIT, bare_app, demo_app, demo_on_postgresql, get, post
from tests.bench.writes import writes
from tests.support.cases import case_of


def decisions() -> Iterator[str]:
    """Outcome with all reasons from ready facts, nothing unknown, worked out every time; one core."""
    pairs, ready = known_pairs(), list(known_cases(compiled_demo()))
    yield f"{len(ready)} different cases, a unit of each model with each part, binding and condition"
    rate = _rate(lambda pair: verdict(*pair), pairs)
    yield f"{rate:,.0f}/s one board in one unit: all rules, nothing kept from one decision to another"
    yield f"{_rate(decide, ready):,.0f}/s whole sets: both axes, all reasons; verdicts of boards shared"
    remembered = ready[:CASES_KEPT]
    yield f"{_rate(conclude, remembered):,.0f}/s as the service runs (equal facts concluded once)"
    conclude.cache_clear()
    first = _rate(conclude, ready, rounds=1)
    yield f"{first:,.0f}/s first time: with steps, capabilities, assumptions, cautions"


def fit() -> Iterator[str]:
    """GET /v1/fit with both serials recorded, full answer, in process, against a bare Flask route."""
    with demo_app() as app, demo_on_postgresql() as other:
        works = {"bare": get(bare_app(), "/bare"), "SQLite": get(app, FIT), "PostgreSQL": get(other, FIT)}
        found = interleaved(works)
        bare = found.pop("bare")
        yield f"bare {bare * 1e6:.0f} us; an answer of {len(works['SQLite']()):,} bytes"
        for name, seconds in found.items():
            yield f"{name}: {seconds * 1e6:.0f} us, {seconds / bare:.1f} times"


def batch() -> Iterator[str]:
    """POST /v1/fit-checks/batch with 1,000 pairs of recorded boards and units, in process; one core."""
    events = demo_events()
    boards = sorted({event.data["board"] for event in events if "board" in event.data})
    units = sorted({event.data["unit"] for event in events if event.kind == "registered"})
    pairs = itertools.islice(itertools.cycle(itertools.product(boards, units)), 0, 7 * 1000, 7)
    body = {"questions": [{"unit": {"serial": u}, "boards": [{"serial": b}]} for b, u in pairs]}
    with demo_app() as app:
        ask = post(app, "/v1/fit-checks/batch", body)
        start = time.process_time()
        size = len(ask())
        first = time.process_time() - start
        found = interleaved({"batch": ask}, turns=5, repeats=1)["batch"]
        yield f"{size / 1e6:.1f} MB of answers; first time {1000 / first:,.0f} pairs/s"
        yield f"then {1000 / found:,.0f} pairs/s"


def unknowns() -> Iterator[str]:
    """A question with eight unknown facts, worked out anew each time."""
    compiled = compiled_demo()
    question = Question(boards=(StatedBoard(role=RoleId("main")), StatedBoard(role=RoleId("panel"))))
    case = case_of(compiled, question).facts
    table = table_of(case, decide(case))
    yield f"unknown facts: {', '.join(table.facts)}"

    def anew() -> None:
        worlds.few_cells.cache_clear()
        worlds.many_cells.cache_clear()
        conclude.cache_clear()
        conclude(case_of(compiled, question).facts)

    seconds = interleaved({"anew": anew}, turns=15, repeats=1)["anew"]
    yield f"{len(table.facts)} unknown facts: {seconds * 1000:.1f} ms"


Item = TypeVar("Item")


def _rate(work: Callable[[Item], object], cases: list[Item], rounds: int = 5) -> float:
    """Calls in a second: the best of some rounds over all cases."""
    best = float("inf")
    for _ in range(rounds):
        start = time.process_time()
        for case in cases:
            work(case)
        best = min(best, time.process_time() - start)
    return len(cases) / best


MEASURES: Mapping[str, Callable[[], Iterator[str]]] = {
    "decisions": decisions,
    "engines": engines,
    "fit": fit,
    "serving": serving,
    "keys": keys,
    "batch": batch,
    "unknowns": unknowns,
    "growth": growth,
    "starting": starting,
    "compiling": compiling,
    "candidates": candidates,
    "import": import_boards,
    "writes": writes,
    "upgrades": upgrade_plans,
}
