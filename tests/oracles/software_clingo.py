"""Software plans as a logic program, solved by clingo: is there a plan of just so many loads?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import clingo

from tests.oracles.software_cases import Instance, PlainRelease

PROGRAM = """
there(R) :- board(_, R, _).
barred(P, V) :- board(P, R, N), limited_parts(R, V), not runs_on(R, V, N).
barred(P, V) :- board(P, R, _), limited_models(R, V), not made_for(R, V, M), model(M).
barred(P, V) :- board(P, R, _), must_be_there(R, V, S), not there(S).

unmet(P, V, Q, W) :- board(P, R, _), board(Q, S, _), P != Q, needs(R, V, S), seen(Q, W),
                     not met(R, V, S, W).
seen(P, V) :- board(P, R, _), release(R, V).
seen(P, V) :- carries(P, V).
odd(P, Q) :- carries(P, V), carries(Q, W), unmet(P, V, Q, W).
odd(Q, P) :- odd(P, Q).

over(P, V, W) :- board(P, R, _), seen(P, V), release(R, W), V != W, not barred(P, W),
                 not limited_source(R, W).
over(P, V, W) :- board(P, R, _), seen(P, V), release(R, W), V != W, not barred(P, W), source(R, W, V).

at(P, V, 0) :- carries(P, V).
{ load(P, W, T) : over(P, V, W), at(P, V, T-1) } = 1 :- T = 1..n.
loaded(P, T) :- load(P, _, T).
at(P, W, T) :- load(P, W, T).
at(P, V, T) :- at(P, V, T-1), not loaded(P, T), T = 1..n.
:- at(P, V, T), at(Q, W, T), unmet(P, V, Q, W), not odd(P, Q).

:- at(P, V, n), at(Q, W, n), unmet(P, V, Q, W).
:- at(P, V, n), board(P, R, _), not release(R, V).
:- at(P, V, n), barred(P, V).
:- at(P, V, n), board(P, R, _), limited_wish(R), not wanted(R, V).
:- at(P, V, n), named(P, W), V != W.
"""


def has_plan(case: Instance, loads: int, named: Sequence[str] = ()) -> bool:
    """Whether so many loads, no fewer, lead to a set that goes together, to the named one where one is."""
    control = clingo.Control(["--warn=none", "-c", f"n={loads}"])
    control.add("base", [], PROGRAM + "\n".join(_facts(case, named)))
    control.ground([("base", [])])
    return bool(control.solve().satisfiable)


def fewest(case: Instance, most: int, named: Sequence[str] = ()) -> int | None:
    """The fewest loads, tried one after the other; None where there is no plan of at most so many."""
    return next((loads for loads in range(most + 1) if has_plan(case, loads, named)), None)


def _facts(case: Instance, named: Sequence[str]) -> Iterator[str]:
    yield f'model("{case.model}").'
    for (name, role, part), carried in zip(case.places, case.carries, strict=True):
        yield f'board("{name}","{role}","{part}"). carries("{name}","{carried}").'
    for (name, _, _), version in zip(case.places, named, strict=False):
        yield f'named("{name}","{version}").'
    for role, held in case.wanted.items():
        yield f'limited_wish("{role}").'
        yield from (f'wanted("{role}","{version}").' for version in held)
    for role, listed in case.releases.items():
        for each in listed:
            yield from _release(f'"{role}","{each.version}"', each)


def _release(key: str, each: PlainRelease) -> Iterator[str]:
    yield f"release({key})."
    if each.parts is not None:
        yield f"limited_parts({key})."
        yield from (f'runs_on({key},"{part}").' for part in each.parts)
    if each.models is not None:
        yield f"limited_models({key})."
        yield from (f'made_for({key},"{model}").' for model in each.models)
    if each.loads_from is not None:
        yield f"limited_source({key})."
        yield from (f'source({key},"{version}").' for version in each.loads_from)
    for other, (held, must) in each.needs.items():
        yield f'needs({key},"{other}").'
        yield from (f'met({key},"{other}","{version}").' for version in held)
        if must:
            yield f'must_be_there({key},"{other}").'
