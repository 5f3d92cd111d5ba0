"""Questions to the demo's world: four typical ones for the terminal, and the examples of the document."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from service.demo import serials as s


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One call to the API, and what a person wants to know by it."""

    operation: str
    name: str
    asks: str
    path: str
    query: Mapping[str, str] | None = None
    body: Mapping[str, Any] | None = None
    key: str | None = None
    """For what writes: sent as Idempotency-Key, so that asking twice does it once."""
    keeps: str | None = None
    """The name by which the paths of later calls speak of the `id` of this one's answer, in braces."""

    @property
    def method(self) -> str:
        """GET, or POST for a call with a body."""
        return "GET" if self.body is None else "POST"

    @property
    def headers(self) -> dict[str, str]:
        """What is sent besides the key of the caller."""
        return {"Idempotency-Key": self.key} if self.key else {}

    @property
    def target(self) -> str:
        """Path and query."""
        return f"{self.path}?{urlencode(self.query)}" if self.query else self.path


def _fit(name: str, asks: str, **query: str) -> Call:
    return Call(operation="check_fit", name=name, asks=asks, path="/v1/fit", query=query)


TYPICAL = (
    _fit(
        "bound_to_other_model",
        "A customer's Plover 40 needs a main board, and there is a used one on the shelf. Will it work?",
        board=s.USED_MAIN_60,
        unit=s.CUSTOMER_PLOVER_40,
    ),
    _fit(
        "blank_board",
        "A new main board, still in its box, for the same machine. What has to be programmed?",
        board=s.BLANK_MAIN,
        unit=s.CUSTOMER_PLOVER_40,
    ),
    _fit(
        "unknown_history",
        "Somebody brings a used main board of unknown history for a Curlew 20. What else must I know?",
        board=s.USED_MAIN_UNKNOWN,
        unit=s.CUSTOMER_CURLEW_20,
    ),
    Call(
        operation="get_unit",
        name="refuses_to_run",
        asks="After a swap, a Plover 40 refuses to run. What disagrees?",
        path=f"/v1/units/{s.DISAGREEING_PLOVER_40}",
    ),
)
"""What `demo` asks, in this order."""

UPGRADES = (
    Call(
        operation="check_upgrade",
        name="second_pack",
        asks="Can my Plover 40 have a second battery pack?",
        path="/v1/upgrades",
        query={"unit": s.CUSTOMER_PLOVER_40, "want": "battery_packs", "amount": "2"},
    ),
    Call(
        operation="plan_upgrade",
        name="mapping",
        asks="What would it take until this Curlew 12 maps by satellite?",
        path="/v1/upgrade-plans",
        body={"unit": {"serial": s.CUSTOMER_CURLEW_12}, "wanted": {"satellite_mapping": 1}},
    ),
)
"""Wishes of owners."""

SOFTWARE = (
    Call(
        operation="plan_software",
        name="step_in_between",
        asks="Main and panel board of this Plover 40 are still on their first releases. How are they loaded?",
        path="/v1/software-plans",
        body={
            "unit": {"serial": s.CUSTOMER_PLOVER_40},
            "boards": [
                {"role": "main", "release": "1.0.0"},
                {"role": "panel", "release": "1.0.0"},
                {"role": "position", "release": "1.2.0"},
            ],
        },
    ),
    Call(
        operation="plan_software",
        name="no_such_set",
        asks="The new release on the main board, and the panel as it is?",
        path="/v1/software-plans",
        body={
            "unit": {"model": "wren-8"},
            "boards": [{"role": "main", "release": "1.1.0"}, {"role": "panel", "release": "1.0.0"}],
            "wanted": {"main": "2.0.0", "panel": "1.0.0"},
        },
    ),
)
"""What the bench asks of software."""

PICTURES = (
    Call(
        operation="draw_fit",
        name="bound_to_other_model",
        asks="The same, drawn for the customer who waits at the counter.",
        path="/v1/fit/picture",
        query={"board": s.USED_MAIN_60, "unit": s.CUSTOMER_PLOVER_40, "means": "customer"},
    ),
    Call(
        operation="draw_unit",
        name="refuses_to_run",
        asks="The machine whose boards disagree, drawn.",
        path=f"/v1/units/{s.DISAGREEING_PLOVER_40}/picture",
    ),
)
"""Answers to look at."""

WRITES = (
    Call(
        operation="record_events",
        name="new_panel",
        asks="A new panel went into a customer's machine, and was programmed.",
        path="/v1/events",
        body={
            "events": [
                {
                    "kind": kind,
                    "occurred_at": f"2026-01-05T09:{minute:02d}:00Z",
                    "data": {"unit": s.FULLY_RECORDED_PLOVER_60, **data},
                }
                for minute, kind, data in (
                    (10, "removed", {"board": s.board_serial("N24", 2024, 35, 31)}),
                    (20, "fitted", {"board": s.BLANK_PANEL_24}),
                    (40, "step_finished", {"step": "assign", "board": s.BLANK_PANEL_24}),
                    (50, "step_finished", {"step": "introduce", "board": s.BLANK_PANEL_24}),
                )
            ],
            "expected": [{"board": s.BLANK_PANEL_24, "version": 1}],
        },
        key="5b0d7c1a-2f1e-4c55-9f0a-6f2f1f0f7a10",
    ),
    Call(
        operation="check_sale",
        name="used_board",
        asks="May this used board be sold to the owner of that machine?",
        path="/v1/sale-checks",
        body={"board": {"serial": s.USED_MAIN_40}, "unit": {"serial": s.CUSTOMER_PLOVER_40}},
        key="5b0d7c1a-2f1e-4c55-9f0a-6f2f1f0f7a11",
        keeps="check",
    ),
    Call(
        operation="complete_sale",
        name="agreed",
        asks="The customer agreed to all of it, and paid.",
        path="/v1/sale-checks/{check}/completion",
        body={
            "accepted": ["programming_needed", "other_serial", "read_machine_first"],
            "customer": "till-4711",
        },
        key="5b0d7c1a-2f1e-4c55-9f0a-6f2f1f0f7a12",
    ),
    Call(
        operation="get_sale_check",
        name="completed",
        asks="What was answered then, and what became of it?",
        path="/v1/sale-checks/{check}",
    ),
)
"""Calls that write, and what is fetched of it. They come last, for what others ask shall not hang on them."""

EXAMPLES = (
    *TYPICAL,
    _fit(
        "by_model_only",
        "A caller knows only the model and the part number.",
        part="MN-4100",
        model="plover-40",
        binding="blank",
    ),
    Call(
        operation="check_fit_of_set",
        name="main_and_panel",
        asks="Can this pair out of a dismantled Curlew 12 go into that one?",
        path="/v1/fit-checks",
        body={
            "unit": {"serial": s.CUSTOMER_CURLEW_12},
            "boards": [{"serial": s.MATCHED_MAIN_12}, {"serial": s.MATCHED_PANEL_12}],
        },
    ),
    Call(
        operation="check_fit_of_set",
        name="claimed_board",
        asks="The customer says that the board is from a Plover 60.",
        path="/v1/fit-checks",
        body={
            "unit": {"model": "plover-40"},
            "boards": [{"part": "MN-4100", "claimed": {"bound_model": "plover-60"}}],
            "means": "customer",
        },
    ),
    Call(
        operation="check_fit_batch",
        name="two_questions",
        asks="Two questions; the second has a fault of its own.",
        path="/v1/fit-checks/batch",
        body={
            "questions": [
                {"unit": {"serial": s.CUSTOMER_PLOVER_40}, "boards": [{"serial": s.RECALLED_LIFT}]},
                {"unit": {"model": "plover-41"}, "boards": [{"part": "MN-4100"}]},
            ]
        },
    ),
    Call(
        operation="get_unit",
        name="as_sold",
        asks="A customer's machine of which nothing is recorded but that it exists.",
        path=f"/v1/units/{s.CUSTOMER_WREN_8}",
    ),
    Call(
        operation="get_unit_parts",
        name="two_faults",
        asks="Lift and rain sensing failed together.",
        path=f"/v1/units/{s.CUSTOMER_PLOVER_40}/parts",
        query={"function": "lift sensing, rain sensing"},
    ),
    Call(
        operation="get_unit_candidates",
        name="main_boards",
        asks="Which main board in stock do I take for this machine?",
        path=f"/v1/units/{s.CUSTOMER_PLOVER_40}/candidates",
        query={"role": "main", "page_size": "2"},
    ),
    Call(
        operation="get_board_destinations",
        name="new_main_board",
        asks="Where can this board go, and who waits for one?",
        path=f"/v1/boards/{s.BLANK_MAIN}/destinations",
    ),
    Call(
        operation="get_board",
        name="used_board",
        asks="What is this board?",
        path=f"/v1/boards/{s.USED_MAIN_60}",
    ),
    Call(
        operation="find_parts",
        name="by_function",
        asks="Which board carries tilt sensing in a Wren 8?",
        path="/v1/parts",
        query={"model": "wren-8", "function": "tilt sensing"},
    ),
    Call(
        operation="find_parts",
        name="by_printed_number",
        asks="A number printed on a board.",
        path="/v1/parts",
        query={"number": "KX7-0412"},
    ),
    Call(
        operation="get_part",
        name="superseded",
        asks="What is ordered today for an old number?",
        path="/v1/parts/LM-9100",
    ),
    Call(
        operation="list_models",
        name="one_family",
        asks="The models of a family.",
        path="/v1/models",
        query={"family": "plover"},
    ),
    Call(
        operation="get_model",
        name="curlew_12",
        asks="What is a Curlew 12 allowed?",
        path="/v1/models/curlew-12",
    ),
    Call(
        operation="get_board_history",
        name="broke_off",
        asks="What has happened to this board?",
        path=f"/v1/boards/{s.BROKEN_OFF_MAIN}/history",
    ),
    Call(
        operation="get_unit_history",
        name="renewed",
        asks="What was done to this machine?",
        path=f"/v1/units/{s.RENEWED_WREN_8}/history",
        query={"page_size": "3"},
    ),
    Call(
        operation="list_events",
        name="from_the_start",
        asks="What happened in the shop, from the start?",
        path="/v1/events",
        query={"after": "0", "page_size": "2"},
    ),
    Call(operation="is_alive", name="alive", asks="Is it alive?", path="/healthz"),
    Call(operation="is_ready", name="ready", asks="Can it answer?", path="/readyz"),
    *PICTURES,
    *UPGRADES,
    *SOFTWARE,
    *WRITES,
)
"""What the document shows, each with its real answer."""
