"""The rules of fit as a logic program, solved by clingo: every verdict is read off the one stable model.

Facts of the catalogue and of a batch of worlds are grounded together; `fail(World, Rule, Place)`,
`uncovered(World)` and `needed(World)` are what is shown.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date

import clingo

from tests.oracles import clingo_software
from tests.oracles.clingo_software import Situations, software_facts
from tests.oracles.world import UNBOUND, Document, Verdict, World

PROGRAM = """
% A role is there when the papers say so, for every market or for the unit's.
here(W, R) :- world(W, M, _, _, _), has_role(M, R), not limited_role(M, R).
here(W, R) :- world(W, M, _, _, C), role_market(M, R, C).
spot(W, P, R) :- here(W, R), place(P, R).

% What a part may stand in for on a model: itself, and along the arrows as far as they go.
stands(N, N, M) :- part(N, _), model(M, _).
stands(N, Old, M) :- stands(N, New, M), arrow(New, Old, M).

put_in(W, P, N) :- board(W, P, N, 1).
sits(W, P, N) :- board(W, P, N, _), spot(W, P, _).
binds(N) :- part(N, names).
binds(N) :- part(N, follows).
named(W) :- sits(W, _, N), part(N, names).

row_ok(W, Row) :- world(W, M, K, D, _), row(Row, _, M, From, Before, First, Last),
                  From <= K, K < Before, First <= D, D < Last.
sold_here(W, N) :- put_in(W, _, N), world(W, _, _, _, _), part(N, _), not limited_part(N).
sold_here(W, N) :- put_in(W, _, N), world(W, _, _, _, C), part_market(N, C).
listed(W, N) :- put_in(W, _, N), world(W, M, _, _, _), stands(N, Old, M),
                row(Row, Old, M, _, _, _, _), row_ok(W, Row).

fail(W, 3, P) :- put_in(W, P, _), not spot(W, P, _).
fail(W, 4, P) :- put_in(W, P, N), not sold_here(W, N).
fail(W, 4, P) :- put_in(W, P, N), not listed(W, N).
fail(W, 5, P) :- put_in(W, P, N), binds(N), bound(W, P, B), world(W, M, _, _, _), B != M.
fail(W, 6, P) :- sits(W, P, N), binds(N), bound(W, P, B), world(W, M, _, _, _), B != M.
fail(W, 7, P) :- spot(W, P, R), world(W, M, _, _, _), required(M, R), not filled(W, P).
filled(W, P) :- sits(W, P, _).
fail(W, 7, P) :- sits(W, P, N), spot(W, P, R), world(W, M, _, _, _), need(M, R, F), not feature(N, F).
fail(W, 7, P) :- sits(W, P, N), part(N, follows), not bound(W, P, _), not named(W).
fail(W, 8, P) :- put_in(W, P, N), part(N, names), holds(W, P, in_service),
                 world(W, M, _, _, _), not another(M).
fail(W, 9, P) :- put_in(W, P, _), unusable(W, P).

uncovered(W) :- world(W, M, _, _, _), model(M, 0).

needed(W) :- sits(W, P, N), part(N, names), not bound(W, P, _).
needed(W) :- sits(W, P, N), board(W, P, N, 1), part(N, names), bound(W, P, _), holds(W, P, in_service).
needed(W) :- sits(W, P, N), part(N, names), bound(W, P, _), holds(W, P, in_service),
             world(W, M, _, _, _), another(M).
needed(W) :- sits(W, P, N), part(N, names), bound(W, P, _), holds(W, P, idle),
             world(W, M, _, _, _), always(M).
needed(W) :- sits(W, P, N), part(N, follows), not bound(W, P, _), world(W, M, _, _, _), not at_power_on(M).
needed(W) :- sits(W, P, N), part(N, follows), bound(W, P, _), named(W), not met(W, P).
needed(W) :- sits(W, P, N), board(W, P, N, 1), part(N, free), spot(W, P, R), world(W, M, _, _, _),
             tool_need(M, R).
met(W, P) :- introduced(W, P, yes).
met(W, P) :- introduced(W, P, moved_pair), world(W, M, _, _, _), pair_stays(M).

#show fail/3.
#show uncovered/1.
#show needed/1.
"""
FIRST_KEY, LAST_KEY = -1, 1_000_000
FIRST_DAY, LAST_DAY = "0001-01-01", "9999-12-31"


class ClingoOracle:
    """Judges worlds over one catalogue document, a batch at a time."""

    def __init__(self, document: Document, serial_key: dict[str, int]) -> None:
        """Take a document, and the order key of every serial that stands in one of its breaks."""
        facts = (*catalogue_facts(document, serial_key), *software_facts(document))
        self.facts = "\n".join(facts)
        self.document = document

    def judge(self, worlds: Sequence[World]) -> list[Verdict]:
        """The verdict of each world, in the order given."""
        control = clingo.Control(["--warn=none"])
        control.add("base", [], PROGRAM + clingo_software.PROGRAM + self.facts)
        situations = Situations(self.document)
        facts = (
            fact
            for at, world in enumerate(worlds)
            for fact in (*world_facts(at, world), *situations.facts(at, world))
        )
        control.add("base", [], "\n".join(facts))
        control.ground([("base", [])])
        failures: dict[int, set[tuple[int, str]]] = defaultdict(set)
        marked: dict[str, set[int]] = defaultdict(set)
        with control.solve(yield_=True) as handle:
            for atom in handle.model().symbols(shown=True):
                world = atom.arguments[0].number
                if atom.name == "fail":
                    failures[world].add((atom.arguments[1].number, atom.arguments[2].string))
                else:
                    marked[atom.name].add(world)
        return [
            verdict(failures[at], at in marked["uncovered"], at in marked["needed"])
            for at in range(len(worlds))
        ]


def verdict(failures: set[tuple[int, str]], uncovered: bool, needed: bool) -> Verdict:
    alone = {(rule, place) for rule, place in failures if rule in (5, 9)}
    counted = alone if uncovered else failures
    if uncovered and not counted:
        return Verdict(outcome="out_of_scope", rule=2, deciding=frozenset([(2, "")]))
    first = min((rule for rule, _ in counted), default=0)
    outcome = "no" if first else ("needed" if needed else "none")
    return Verdict(outcome=outcome, rule=first, deciding=frozenset(f for f in counted if f[0] == first))


def text(value: str) -> str:
    return f'"{value}"'


def ordinal(day: str) -> int:
    return date.fromisoformat(day).toordinal()


def world_facts(at: int, world: World) -> Iterator[str]:
    yield f"world({at},{text(world.model)},{world.key},{ordinal(world.day)},{text(world.market)})."
    for place, board in world.boards.items():
        if board is None:
            continue
        spot = f"{at},{text(place)}"
        yield f"board({spot},{text(board.part)},{int(board.proposed)})."
        yield f"holds({spot},{board.holds}). introduced({spot},{board.introduced})."
        if board.binding not in ("blank", UNBOUND):
            yield f"bound({spot},{text(board.binding)})."
        if board.condition != "usable":
            yield f"unusable({spot})."


def catalogue_facts(document: Document, keys: dict[str, int]) -> Iterator[str]:
    for role, each in document["roles"].items():
        for place in [f"{role}.{name}" for name in each.get("places", [])] or [role]:
            yield f"place({text(place)},{text(role)})."
    for model, each in document["models"].items():
        yield from model_facts(model, each, document["families"][each["family"]])
    every = list(document["models"])
    for part in document["parts"]:
        yield from part_facts(part, every)
        for number, row in enumerate(part.get("fits", [])):
            yield from row_facts(part["number"], number, row, keys)


def model_facts(model: str, each: Document, family: Document) -> Iterator[str]:
    name = text(model)
    yield f"model({name},{int(family.get('covered', True))})."
    for role, need in each.get("roles", {}).items():
        spot = f"{name},{text(role)}"
        yield f"has_role({spot})."
        if need.get("required", True):
            yield f"required({spot})."
        if "markets" in need:
            yield f"limited_role({spot})."
        yield from (f"role_market({spot},{text(market)})." for market in need.get("markets", []))
        yield from (f"need({spot},{text(feature)})." for feature in need.get("features", []))
    flags = {
        "at_power_on": family.get("blank_follower_binds") == "at_power_on",
        "pair_stays": family.get("matched_pair_moved") == "nothing",
        "another": family.get("another_serial") == "allowed",
        "always": family.get("enter_serial") == "always",
    }
    yield from (f"{flag}({name})." for flag, is_set in flags.items() if is_set)
    tool_steps = {row["step"] for row in family.get("procedures", []) if row.get("tool")}
    for role, steps in family.get("free_part_needs", {}).items():
        if tool_steps.intersection(steps):
            yield f"tool_need({name},{text(role)})."


def part_facts(part: Document, every: Sequence[str]) -> Iterator[str]:
    number = text(part["number"])
    yield f"part({number},{part.get('binding', 'free')})."
    if "markets" in part:
        yield f"limited_part({number})."
    yield from (f"part_market({number},{text(market)})." for market in part.get("markets", []))
    for feature, amount in part.get("features", {}).items():
        if amount >= 1:
            yield f"feature({number},{text(feature)})."
    for row in part.get("replaces", []):
        old = text(row["part"])
        for model in map(text, row.get("models", every)):
            yield f"arrow({number},{old},{model})."
            if row.get("both_ways", False):
                yield f"arrow({old},{number},{model})."


def row_facts(part: str, number: int, row: Document, keys: dict[str, int]) -> Iterator[str]:
    """A row as two half-open intervals, of order keys and of days."""
    low = keys[row["serial_from"]] if "serial_from" in row else FIRST_KEY
    high = keys[row["serial_before"]] if "serial_before" in row else LAST_KEY
    first, last = row.get("date_from", FIRST_DAY), row.get("date_before", LAST_DAY)
    for model in row["models"]:
        name = text(f"{part}/{number}")
        interval = f"{low},{high},{ordinal(first)},{ordinal(last)}"
        yield f"row({name},{text(part)},{text(model)},{interval})."
