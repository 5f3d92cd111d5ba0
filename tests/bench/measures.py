"""The measures. Each yields lines of figures."""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import TypeVar

from service.demo import serials
from service.demo.questions import TYPICAL
from service.demo.world import demo_catalogue, demo_events
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.case import CaseFacts
from service.domain.facts.gathering import gather_case
from service.domain.facts.question import Question, StatedBoard, StatedUnit, Statement
from service.domain.fit import worlds
from service.domain.fit.cause import table_of
from service.domain.fit.conclusion import conclude
from service.domain.fit.decision import decide
from service.domain.rules import verdict
from service.domain.terms import Condition, MarketId, ModelId, PartNumber, RoleId
from service.papers import read_catalogue
from tests.bench.access import keys
from tests.bench.growth import growth
from tests.bench.importing import import_boards
from tests.bench.stock import candidates
from tests.bench.timing import interleaved
from tests.bench.upgrades import upgrade_plans
from tests.bench.worlds import bare_app, demo_app, get, post
from tests.bench.writes import writes


def decisions() -> Iterator[str]:
    """Outcome with all reasons from ready facts, nothing unknown; one core."""
    compiled = _compiled()
    ready = list(_known_cases(compiled))
    yield f"{len(ready)} different cases, a unit of each model with each part, binding and condition"
    for case in ready:
        conclude(case)
    yield f"{_rate(decide, ready):,.0f}/s worked out anew, the resulting set of all the unit's boards"
    judged = [(case.hubs[0], board.cells[0].board) for case in ready for board in _of_proposed(case)]
    yield f"{_rate(lambda pair: verdict(*pair), judged):,.0f}/s the rules alone, on the proposed board"
    yield f"{_rate(conclude, ready):,.0f}/s as the service runs (equal facts concluded once)"
    conclude.cache_clear()
    first = _rate(conclude, ready, rounds=1)
    yield f"{first:,.0f}/s first time: with steps, capabilities, assumptions, cautions"


def fit() -> Iterator[str]:
    """GET /v1/fit with both serials recorded, full answer, in process, against a bare Flask route."""
    target = next(call.target for call in TYPICAL if call.target.startswith("/v1/fit?board="))
    with demo_app() as app:
        works = {"bare": get(bare_app(), "/bare"), "fit": get(app, target)}
        found = interleaved(works)
        yield f"answer of {len(works['fit']()):,} bytes"
        times = found["fit"] / found["bare"]
        yield f"bare {found['bare'] * 1e6:.0f} us, fit {found['fit'] * 1e6:.0f} us: {times:.1f} times"


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
    compiled = _compiled()
    question = Question(boards=(StatedBoard(role=RoleId("main")), StatedBoard(role=RoleId("panel"))))
    case = gather_case(compiled, question).facts
    table = table_of(case, decide(case))
    yield f"unknown facts: {', '.join(table.facts)}"

    def anew() -> None:
        worlds.cells_of.cache_clear()
        conclude.cache_clear()
        conclude(gather_case(compiled, question).facts)

    seconds = interleaved({"anew": anew}, turns=15, repeats=1)["anew"]
    yield f"{len(table.facts)} unknown facts: {seconds * 1000:.1f} ms"


def _compiled() -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(demo_catalogue()))


UNITS = (
    serials.CUSTOMER_WREN_4,
    serials.CUSTOMER_WREN_8,
    serials.CUSTOMER_CURLEW_12,
    serials.CUSTOMER_CURLEW_20,
    serials.CUSTOMER_CURLEW_20_A,
    serials.CUSTOMER_PLOVER_40,
    serials.CUSTOMER_PLOVER_60,
)
"""A plate of each covered model."""


def _known_cases(compiled: CompiledCatalogue) -> Iterator[CaseFacts]:
    """A unit of every covered model with every part, every binding it can have, usable and not."""
    for plate, (number, part) in itertools.product(UNITS, compiled.catalogue.parts.items()):
        for bound in (None, *sorted(compiled.binding_domain[number])):
            for condition in Condition:
                asked = _known_question(plate, number, part.role, bound, condition)
                yield gather_case(compiled, asked).facts


def _known_question(
    plate: str, number: PartNumber, role: RoleId, bound: ModelId | None, condition: Condition
) -> Question:
    claimed = Statement(
        part=number,
        binding="bound" if bound else "blank",
        bound_model=bound,
        holds="NOBODY" if bound else "",
        condition=str(condition),
    )
    unit = StatedUnit(serial=plate, market=MarketId("mainland"), made_on=date(2024, 5, 31))
    return Question(unit=unit, boards=(StatedBoard(role=role, claimed=claimed),))


def _of_proposed(case: CaseFacts) -> Iterator[worlds.Cells]:
    (row,) = worlds.rows(case)
    yield from (cells for cells in row.places.values() if cells.cells and cells.cells[0].board.proposed)


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
    "fit": fit,
    "keys": keys,
    "batch": batch,
    "unknowns": unknowns,
    "growth": growth,
    "candidates": candidates,
    "import": import_boards,
    "writes": writes,
    "upgrades": upgrade_plans,
}
