"""The rules of fit for one proposed board, put to a decision engine and to a library of JSON logic.

Both get the rules as data (`RULES`, written anew from the rules' meaning) and every fact as a plain value,
which saves them the look-ups in the catalogue that our own rules do. That the answers are equal is checked.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.rules import FITS, FITS_WITH_TOOL, OUT_OF_SCOPE, Verdict, verdict
from service.domain.rules.board import Board
from service.domain.terms import BindingPolicy, StepKind
from tests.bench.cases import known_pairs
from tests.bench.timing import interleaved

Facts = dict[str, Any]
Pair = tuple[Hub, Board]


class Row(NamedTuple):
    """Where all of these facts are so, the code is found."""

    code: str
    facts: Facts


def _rules() -> Iterator[Row]:
    """The rules in their order, then what takes the programming tool."""
    covered = {"covered": True}
    yield Row("role_not_in_model", {**covered, "role_here": False, "role_in_model": False})
    yield Row("role_not_in_market", {**covered, "role_here": False, "role_in_model": True})
    yield Row("part_not_in_market", {**covered, "listed": True, "sold_here": False})
    yield Row("outside_break", {**covered, "listed": False, "listed_elsewhere": True})
    yield Row("part_not_listed", {**covered, "listed": False, "listed_elsewhere": False})
    yield Row("bound_to_other_model", {"bound_to": "another"})
    lonely = {"namer": False, "bound_to": "nothing", "policy": "follows"}
    yield Row("nothing_assigns_it", {**covered, **lonely})
    yield Row("feature_missing", {**covered, "has_features": False})
    held = {"holds": "in_service", "another_serial_allowed": False, "policy": "names"}
    yield Row("serial_in_service_elsewhere", {**covered, **held})
    yield Row("board_scrapped", {"condition": "scrapped"})
    yield Row("board_failed_test", {"condition": "failed"})
    yield Row("exposed_since_test", {"condition": "exposed"})
    yield Row("model_not_covered", {"covered": False})
    yield Row("tool", {**covered, "swap_takes_tool": True})
    named = {**covered, "policy": "names", "tool_enters_serials": True}
    yield Row("tool", {**named, "bound_to": "nothing"})
    yield Row("tool", {**named, "holds": "in_service"})
    yield Row("tool", {**named, "holds": "idle", "always_enter_serial": True})
    yield Row("tool", {**named, "holds": "nothing", "always_enter_serial": True})
    follows = {**covered, "policy": "follows"}
    yield Row("tool", {**follows, "bound_to": "nothing", "power_on_binds": False, "tool_assigns": True})
    new = {**follows, "introduced": False, "tool_introduces": True}
    yield Row("tool", {**new, "bound_to": "nothing", "power_on_binds": False})
    yield Row("tool", {**new, "bound_to": "this", "namer": True})
    yield Row("tool", {**covered, "policy": "free", "free_needs_tool": True})


RULES = tuple(_rules())
NO_FAILURE = frozenset({"model_not_covered", "tool"})


def facts_of(hub: Hub, board: Board) -> Facts:
    """Every fact that the rules look at, as the engines take it."""
    part, use = hub.parts[board.part], hub.roles.get(board.place.role)
    bound = "nothing" if board.binding is None else "this" if board.binding == hub.model.id else "another"
    return {
        "covered": hub.covered,
        "role_here": use is not None,
        "role_in_model": board.place.role in hub.model.roles,
        "listed": hub.lists(board.part),
        "listed_elsewhere": board.part in hub.owner.reached,
        "sold_here": hub.sells(board.part),
        "bound_to": bound,
        "namer": board.namer,
        "policy": part.binding.value,
        "has_features": use is None or all(part.features.get(each, 0) > 0 for each in use.features),
        "holds": board.holds.value,
        "introduced": board.introduced,
        "condition": board.condition.value,
        "another_serial_allowed": hub.family.another_serial_allowed,
        "always_enter_serial": hub.family.always_enter_serial,
        "power_on_binds": hub.family.power_on_binds,
        "swap_takes_tool": hub.swap_takes_tool
        if part.binding is BindingPolicy.FREE
        else hub.renewal_takes_tool,
        "tool_enters_serials": StepKind.ENTER_SERIAL in hub.tool_steps,
        "tool_assigns": StepKind.ASSIGN in hub.tool_steps,
        "tool_introduces": StepKind.INTRODUCE in hub.tool_steps,
        "free_needs_tool": not hub.tool_steps.isdisjoint(
            hub.family.free_part_needs.get(board.place.role, ())
        ),
    }


def by_zen() -> Callable[[Facts], list[str]]:
    """The decision engine: one table, of which every row that holds is collected."""
    import zen  # noqa: PLC0415 - only who compares needs it

    names = sorted({name for row in RULES for name in row.facts})
    columns = [{"id": name, "name": name, "field": name, "type": "expression"} for name in names]
    rows = [
        {
            "_id": str(at),
            "code": f'"{row.code}"',
            **{name: _literal(row.facts[name]) if name in row.facts else "" for name in names},
        }
        for at, row in enumerate(RULES)
    ]
    content = {
        "inputs": columns,
        "outputs": [{"id": "code", "name": "code", "field": "code", "type": "expression"}],
        "rules": rows,
        "hitPolicy": "collect",
    }
    nodes = [
        {"id": "in", "name": "in", "type": "inputNode"},
        {"id": "rules", "name": "rules", "type": "decisionTableNode", "content": content},
        {"id": "out", "name": "out", "type": "outputNode"},
    ]
    edges = [
        {"id": f"{one}-{other}", "sourceId": one, "targetId": other}
        for one, other in itertools.pairwise(("in", "rules", "out"))
    ]
    decision = zen.ZenEngine().create_decision(json.dumps({"nodes": nodes, "edges": edges}))
    return lambda facts: [each["code"] for each in decision.evaluate(facts)["result"]]


def _literal(value: object) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value).lower()


def by_json_logic() -> Callable[[Facts], list[str]]:
    """The JSON-logic library: a rule is the conjunction of its facts."""
    from json_logic import jsonLogic  # noqa: PLC0415 - as above

    rules = [
        (row.code, {"and": [{"===": [{"var": name}, value]} for name, value in row.facts.items()]})
        for row in RULES
    ]
    return lambda facts: [code for code, rule in rules if jsonLogic(rule, facts)]


def outcome(codes: Sequence[str]) -> str:
    """What the codes come to."""
    if any(code not in NO_FAILURE for code in codes):
        return "does_not_fit"
    if "model_not_covered" in codes:
        return "not_covered"
    return "fits_with_programming" if "tool" in codes else "fits"


OUTCOMES = {OUT_OF_SCOPE: "not_covered", FITS_WITH_TOOL: "fits_with_programming", FITS: "fits"}


def _differs(ours: Verdict, codes: Sequence[str]) -> bool:
    found = {one.code for one in ours.findings}
    theirs = {code for code in codes if code not in NO_FAILURE}
    return (OUTCOMES.get(ours.rank, "does_not_fit"), found) != (outcome(codes), theirs)


def engines() -> Iterator[str]:
    """The rules on one proposed board, ours and as others work them out, in one interleaved run."""
    pairs = known_pairs()
    facts = [facts_of(*pair) for pair in pairs]
    others = {"zen-engine": by_zen(), "json-logic": by_json_logic()}
    for name, work in others.items():
        wrong = sum(_differs(verdict(*pair), work(each)) for pair, each in zip(pairs, facts, strict=True))
        yield f"{name}: {len(pairs)} boards, {len(RULES)} rules as data, {wrong} answers differ"
    found = interleaved(
        {
            "ours": lambda: [verdict(*pair) for pair in pairs],
            **{name: _all(work, facts) for name, work in others.items()},
        },
        turns=9,
        repeats=1,
    )
    ours = found["ours"] / len(pairs)
    yield f"ours {1 / ours:,.0f}/s"
    for name in others:
        theirs = found[name] / len(pairs)
        yield f"{name} {1 / theirs:,.0f}/s: ours is {theirs / ours:.0f} times as fast"


def _all(work: Callable[[Facts], list[str]], facts: Sequence[Facts]) -> Callable[[], object]:
    return lambda: [work(each) for each in facts]
