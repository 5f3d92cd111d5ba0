"""What is asked in a shop: questions whose answers stand fast, mistakes, and what only reads."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from service.demo import serials as s
from service.demo.questions import EXAMPLES, WRITES, Call

JSON = {"Content-Type": "application/json"}
TEXT = {"Accept": "text/plain"}
GERMAN = {**TEXT, "Accept-Language": "de"}


@dataclass(frozen=True, slots=True)
class Ask:
    """A request, and what it may be answered."""

    kind: str
    """By which it is counted."""
    method: str
    target: str
    body: bytes | None = None
    headers: Mapping[str, str] = field(default_factory=dict)
    expected: frozenset[int] = frozenset({200})
    steady: bool = False
    """Whether nothing that is written meanwhile changes the answer."""
    key: str = "staff"
    """Whose key is sent: `staff`, `public`, `limited` or `nobody`."""


def get(kind: str, target: str, **more: Any) -> Ask:
    return Ask(kind, "GET", target, **more)


def post(kind: str, target: str, body: Any, **more: Any) -> Ask:
    sent = body if isinstance(body, bytes) else json.dumps(body).encode()
    headers = {**JSON, **more.pop("headers", {})}
    return Ask(kind, "POST", target, sent, headers=headers, **more)


UNITS = (
    s.CUSTOMER_WREN_4,
    s.CUSTOMER_WREN_8,
    s.CUSTOMER_CURLEW_12,
    s.CUSTOMER_CURLEW_20,
    s.CUSTOMER_CURLEW_20_A,
    s.CUSTOMER_PLOVER_40,
    s.CUSTOMER_PLOVER_60,
    s.DISAGREEING_PLOVER_40,
    s.SWAPPED_CURLEW_20,
    s.RENEWED_WREN_8,
    s.FULLY_RECORDED_PLOVER_60,
)
BOARDS = (
    s.USED_MAIN_60,
    s.USED_PANEL_60,
    s.USED_MAIN_40,
    s.MATCHED_MAIN_12,
    s.BLANK_MAIN,
    s.BLANK_PANEL_24,
    s.USED_MAIN_UNKNOWN,
    s.CONTRADICTORY_MAIN,
    s.RECALLED_LIFT,
    s.STOLEN_MAIN,
)
PAIRS = tuple((board, unit) for board in BOARDS for unit in UNITS)

BY_SERIAL = tuple(
    get("fit by serial", f"/v1/fit?board={board}&unit={unit}", steady=True) for board, unit in PAIRS
)
AS_TEXT = tuple(
    get(
        "fit as text", f"/v1/fit?board={board}&unit={unit}", headers=TEXT if turn % 2 else GERMAN, steady=True
    )
    for turn, (board, unit) in enumerate(PAIRS[::5])
)
BY_MODEL = tuple(
    get("fit by model", f"/v1/fit?part={part}&model={model}{claimed}", steady=True)
    for part, model, claimed in (
        ("MN-4100", "plover-40", "&binding=blank"),
        ("MN-4100", "plover-40", "&bound_model=plover-60&means=customer"),
        ("MN-4100", "wren-8", ""),
        ("LM-9100", "wren-8", ""),
        ("PN-2400", "plover-60", "&binding=blank"),
        ("PN-2200", "curlew-20", ""),
    )
)
PUBLIC = tuple(
    get("fit, public key", f"/v1/fit?part=MN-4100&model={model}&means=customer", key="public", steady=True)
    for model in ("plover-40", "plover-60", "curlew-12")
)
BATCHES = (
    post(
        "batch of 40",
        "/v1/fit-checks/batch",
        {
            "questions": [
                {"unit": {"serial": unit}, "boards": [{"serial": board}]} for board, unit in PAIRS[::3][:40]
            ]
        },
        steady=True,
    ),
)
SEEING = (get("metrics", "/metrics"), get("docs", "/docs"), get("document", "/openapi.yaml", steady=True))
LIMITED = (get("key over its rate", "/v1/models", key="limited", expected=frozenset({200, 429})),)

STEADY = {
    "check_fit",
    "check_fit_of_set",
    "check_fit_batch",
    "get_board",
    "get_unit",
    "find_parts",
    "get_part",
}
"""Operations whose examples nobody writes about here, and that look at no calendar."""


def of_examples(*, writes: Sequence[Call] = WRITES) -> tuple[Ask, ...]:
    """Every call that the document shows, but for those that write or hang on such: whatever there is."""
    return tuple(
        Ask(
            call.operation,
            call.method,
            call.target,
            json.dumps(call.body).encode() if call.body is not None else None,
            headers=JSON if call.body is not None else {},
            steady=call.operation in STEADY,
        )
        for call in EXAMPLES
        if call not in writes
    )


MISTAKES = (
    get("mistake", "/v1/fit?part=MN-4100&model=plover-41", expected=frozenset({422})),
    get("mistake", "/v1/fit?no_such=1", expected=frozenset({422})),
    get("mistake", "/v1/fit?a=%FF", expected=frozenset({400})),
    get("mistake", f"/v1/units/{s.CUSTOMER_PLOVER_40[:-1]}0", expected=frozenset({404})),
    get("mistake", "/v1/parts/XX-0000", expected=frozenset({404})),
    get("mistake", "/v1/nothing/here", expected=frozenset({404})),
    get("mistake", "/v1/events?after=x", expected=frozenset({422})),
    get("mistake", "/v1/models", key="nobody", expected=frozenset({401})),
    get("mistake", "/v1/events?after=0", key="public", expected=frozenset({403})),
    post("mistake", "/v1/fit-checks", b'{"unit": ', expected=frozenset({400})),
    post(
        "mistake", "/v1/fit-checks", b"a,b", headers={"Content-Type": "text/csv"}, expected=frozenset({415})
    ),
    post("mistake", "/v1/events", {"events": []}, expected=frozenset({400})),
    Ask("mistake", "DELETE", "/v1/parts", expected=frozenset({405})),
)
