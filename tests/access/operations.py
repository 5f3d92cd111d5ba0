"""Every operation: what a key has to be good for, written down by hand, and a call that reaches it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from service.demo import serials as s

ASK, STOCK, SELL, RECORD, ADMINISTER = "ask", "stock", "sell", "record", "administer"

NEEDED: Mapping[str, str | None] = {
    "is_alive": None,
    "is_ready": None,
    "document": None,
    "metrics": ADMINISTER,
    "docs": None,
    "docs_file": None,
    "check_fit": ASK,
    "draw_fit": ASK,
    "draw_unit": ASK,
    "check_fit_of_set": ASK,
    "check_fit_batch": ASK,
    "get_unit": ASK,
    "get_unit_parts": ASK,
    "get_board": ASK,
    "find_parts": ASK,
    "get_part": ASK,
    "list_models": ASK,
    "get_model": ASK,
    "check_upgrade": ASK,
    "plan_upgrade": ASK,
    "plan_software": ASK,
    "get_board_history": STOCK,
    "get_unit_history": STOCK,
    "get_board_destinations": STOCK,
    "get_unit_candidates": STOCK,
    "list_events": STOCK,
    "check_sale": SELL,
    "get_sale_check": SELL,
    "complete_sale": SELL,
    "record_events": RECORD,
}
"""By endpoint. A new operation has to be entered here, by somebody who has thought about it."""


@dataclass(frozen=True, slots=True)
class Reaching:
    """A call that reaches an operation."""

    target: str
    method: str = "GET"
    sent: Mapping[str, Any] = field(default_factory=dict)


def _post(target: str, body: Any) -> Reaching:
    return Reaching(target, "POST", {"json": body})


UNIT, BOARD = s.CUSTOMER_PLOVER_40, s.USED_MAIN_60

REACHING: Mapping[str, Reaching] = {
    "is_alive": Reaching("/healthz"),
    "is_ready": Reaching("/readyz"),
    "document": Reaching("/openapi.yaml"),
    "metrics": Reaching("/metrics"),
    "docs": Reaching("/docs"),
    "docs_file": Reaching("/docs/start.js"),
    "check_fit": Reaching(f"/v1/fit?board={BOARD}&unit={UNIT}"),
    "draw_fit": Reaching(f"/v1/fit/picture?board={BOARD}&unit={UNIT}"),
    "draw_unit": Reaching(f"/v1/units/{UNIT}/picture"),
    "check_upgrade": Reaching(f"/v1/upgrades?unit={UNIT}&want=zones&amount=10"),
    "plan_upgrade": _post("/v1/upgrade-plans", {"unit": {"serial": UNIT}, "wanted": {"zones": 10}}),
    "plan_software": _post("/v1/software-plans", {"unit": {"serial": UNIT}}),
    "check_fit_of_set": _post("/v1/fit-checks", {"unit": {"serial": UNIT}, "boards": [{"serial": BOARD}]}),
    "check_fit_batch": _post("/v1/fit-checks/batch", {"questions": [{"unit": {"serial": UNIT}}]}),
    "get_unit": Reaching(f"/v1/units/{UNIT}"),
    "get_unit_parts": Reaching(f"/v1/units/{UNIT}/parts?role=panel"),
    "get_board": Reaching(f"/v1/boards/{BOARD}"),
    "find_parts": Reaching("/v1/parts?model=wren-8"),
    "get_part": Reaching("/v1/parts/MN-4100"),
    "list_models": Reaching("/v1/models"),
    "get_model": Reaching("/v1/models/wren-8"),
    "get_board_history": Reaching(f"/v1/boards/{BOARD}/history"),
    "get_unit_history": Reaching(f"/v1/units/{UNIT}/history"),
    "get_board_destinations": Reaching(f"/v1/boards/{BOARD}/destinations"),
    "get_unit_candidates": Reaching(f"/v1/units/{UNIT}/candidates?role=main"),
    "list_events": Reaching("/v1/events?after=0"),
    "check_sale": _post("/v1/sale-checks", {"board": {"serial": BOARD}, "unit": {"serial": UNIT}}),
    "get_sale_check": Reaching("/v1/sale-checks/sc-000000000000000000000000"),
    "complete_sale": _post("/v1/sale-checks/sc-000000000000000000000000/completion", {"accepted": []}),
    "record_events": _post(
        "/v1/events", {"events": [{"kind": "tested", "data": {"board": BOARD, "passed": True}}]}
    ),
}
"""Those that store are sent without Idempotency-Key: who is let in is told that it is missing, and nothing
is stored."""

ANSWERED = {200}
LET_IN: Mapping[str, set[int]] = {
    "check_sale": {400},
    "complete_sale": {400},
    "record_events": {400},
    "get_sale_check": {404},
}
"""What somebody is answered who is let in; else 200."""
