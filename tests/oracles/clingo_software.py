"""Rule 10 as a logic program: the sets of releases that loads lead to are the least model of its rules.

A *situation* is a group of boards with what is on them, told once for all worlds that have it: up to three
boards, in slots 1 to 3; a slot without a board carries `none`.
"""

from __future__ import annotations

from collections.abc import Iterator

from tests.oracles.plain_software import PlainSoftware, versions_in
from tests.oracles.world import Document, World, role_of

SLOTS = 3

PROGRAM = """
opt(S, I, V) :- slot(S, I, R, _), release(R, V).
opt(S, I, V) :- slot(S, I, _, _), begins(S, I, V).
barred(S, I, V) :- slot(S, I, R, N), release(R, V), limited_parts(R, V), not runs_on(R, V, N).
barred(S, I, V) :- slot(S, I, R, _), release(R, V), of_model(S, M), limited_models(R, V),
                   not made_for(R, V, M).
fine(S, I, V) :- slot(S, I, R, _), release(R, V), not barred(S, I, V).
fine(S, I, none) :- of_model(S, _), spare(S, I).

over(S, I, V, W) :- opt(S, I, V), fine(S, I, W), V != W, slot(S, I, R, _), not limited_source(R, W).
over(S, I, V, W) :- opt(S, I, V), fine(S, I, W), V != W, slot(S, I, R, _), source(R, W, V).

clash(S, I, V, J, W) :- slot(S, I, R, _), slot(S, J, Q, _), I != J, opt(S, I, V), opt(S, J, W),
                        needs(R, V, Q), not met(R, V, Q, W).
clash(S, J, W, I, V) :- clash(S, I, V, J, W).
odd(S, I, J) :- begins(S, I, V), begins(S, J, W), clash(S, I, V, J, W).
bad(S, I, V, J, W) :- clash(S, I, V, J, W), not odd(S, I, J).

start(S, s(A, B, C)) :- begins(S, 1, A), begins(S, 2, B), begins(S, 3, C).
reach(S, X) :- start(S, X).
reach(S, s(D, B, C)) :- reach(S, s(A, B, C)),
                        over(S, 1, A, D), not bad(S, 1, D, 2, B), not bad(S, 1, D, 3, C).
reach(S, s(A, D, C)) :- reach(S, s(A, B, C)),
                        over(S, 2, B, D), not bad(S, 2, D, 1, A), not bad(S, 2, D, 3, C).
reach(S, s(A, B, D)) :- reach(S, s(A, B, C)),
                        over(S, 3, C, D), not bad(S, 3, D, 1, A), not bad(S, 3, D, 2, B).
together(S, s(A, B, C)) :- reach(S, s(A, B, C)), fine(S, 1, A), fine(S, 2, B), fine(S, 3, C),
                           not clash(S, 1, A, 2, B), not clash(S, 1, A, 3, C), not clash(S, 2, B, 3, C).
good(S) :- together(S, _).
now(S) :- start(S, X), together(S, X).

key(W, S, K, P) :- member(W, S, P), board(W, P, _, 1), order(P, K).
key(W, S, K + 1000, P) :- member(W, S, P), board(W, P, _, 0), order(P, K).
later(W, S, P) :- key(W, S, K, P), key(W, S, L, _), L < K.

fail(W, 10, P) :- member(W, S, P), not good(S), not later(W, S, P).
needed(W) :- member(W, S, _), good(S), not now(S), of_model(S, M), loads_by_tool(M).
"""


class Situations:
    """The situations of a batch of worlds, each with a number."""

    def __init__(self, document: Document) -> None:
        """Take a document."""
        self.document = document
        self.software = PlainSoftware(document)
        self.numbers: dict[tuple[object, ...], int] = {}

    def facts(self, at: int, world: World) -> Iterator[str]:
        """The facts of one world, and of its situations where they are new."""
        roles = self.document["models"][world.model].get("roles", {})
        here = {role for role, need in roles.items() if world.market in need.get("markets", [world.market])}
        for group in self.software.groups:
            there = [(p, b) for p in group if role_of(p) in here and (b := world.boards.get(p)) is not None]
            if not there:
                continue
            key = (world.model, *((place, board.part, board.release) for place, board in there))
            new = key not in self.numbers
            number = self.numbers.setdefault(key, len(self.numbers))
            yield from (f'member({at},{number},"{place}").' for place, _ in there)
            if new:
                yield f'of_model({number},"{world.model}").'
                yield from (f"begins({number},{n},none). spare({number},{n})." for n in spare(len(there)))
                for slot, (place, board) in enumerate(there, 1):
                    yield f'slot({number},{slot},"{role_of(place)}","{board.part}").'
                    yield f'begins({number},{slot},"{board.release}").'


def spare(boards: int) -> range:
    assert boards <= SLOTS, "these oracles go through groups of so many boards"
    return range(boards + 1, SLOTS + 1)


def software_facts(document: Document) -> Iterator[str]:
    """The software of a catalogue."""
    software = PlainSoftware(document)
    for at, place in enumerate(place for group in software.groups for place in group):
        yield f'order("{place}",{at}).'
    for role, listed in software.releases.items():
        for version, each in listed.items():
            yield from release_facts(f'"{role}","{version}"', each)
    for model, each in document["models"].items():
        procedures = document["families"][each["family"]].get("procedures", [])
        loads = [row for row in procedures if row["step"] == "load"]
        if not loads or any(row.get("tool", False) for row in loads):
            yield f'loads_by_tool("{model}").'


def release_facts(key: str, each: Document) -> Iterator[str]:
    yield f"release({key})."
    if "parts" in each:
        yield f"limited_parts({key})."
        yield from (f'runs_on({key},"{part}").' for part in each["parts"])
    if "models" in each:
        yield f"limited_models({key})."
        yield from (f'made_for({key},"{model}").' for model in each["models"])
    if "loads_from" in each:
        yield f"limited_source({key})."
        yield from (f'source({key},"{version}").' for version in versions_in(each["loads_from"]))
    for other, text in each.get("needs", {}).items():
        yield f'needs({key},"{other}").'
        yield from (f'met({key},"{other}","{version}").' for version in versions_in(text))
