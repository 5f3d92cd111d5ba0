"""Replays a plan load by load and says what is wrong with it; it knows nothing of how plans are found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tests.oracles.software_cases import Instance, PlainRelease


def faults(case: Instance, plan: Sequence[tuple[str, str]]) -> list[str]:
    """Everything that forbids a plan, empty where it may be worked as it stands."""
    state = {name: carried for (name, _, _), carried in zip(case.places, case.carries, strict=True)}
    excused = set(_quarrels(case, state))
    found = []
    for place, version in plan:
        found += [f"{place} {version}: {why}" for why in _load_faults(case, state, place, version)]
        state[place] = version
        found += [f"{one} and {two}" for one, two in _quarrels(case, state) if (one, two) not in excused]
    return found + list(_end_faults(case, state))


def _listed(case: Instance, place: str, version: str) -> PlainRelease | None:
    role = next(role for name, role, _ in case.places if name == place)
    return next((each for each in case.releases[role] if each.version == version), None)


def _load_faults(case: Instance, state: dict[str, str], place: str, version: str) -> Iterator[str]:
    each = _listed(case, place, version)
    if each is None:
        yield "not listed"
    else:
        if state[place] == version:
            yield "there already"
        if each.loads_from is not None and state[place] not in each.loads_from:
            yield f"not over {state[place]}"
        yield from _bars(case, place, each)


def _bars(case: Instance, place: str, each: PlainRelease) -> Iterator[str]:
    part = next(part for name, _, part in case.places if name == place)
    if each.parts is not None and part not in each.parts:
        yield "not on this part"
    if each.models is not None and case.model not in each.models:
        yield "not in this model"
    there = [role for _, role, _ in case.places]
    yield from (f"{role} is missing" for role, need in each.needs.items() if need[1] and role not in there)


def _quarrels(case: Instance, state: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Pairs of boards of which one has not what it needs of the other, by name."""
    for one, role, _ in case.places:
        for two, other, _ in case.places:
            if one == two:
                continue
            mine, yours = _listed(case, one, state[one]), _listed(case, two, state[two])
            misses = mine is not None and other in mine.needs and state[two] not in mine.needs[other][0]
            missed = yours is not None and role in yours.needs and state[one] not in yours.needs[role][0]
            if misses or missed:
                yield one, two


def _end_faults(case: Instance, state: dict[str, str]) -> Iterator[str]:
    yield from (f"at the end {one} and {two}" for one, two in _quarrels(case, state))
    for name, role, _ in case.places:
        each = _listed(case, name, state[name])
        if each is None:
            yield f"at the end nothing listed on {name}"
        else:
            yield from (f"at the end on {name}: {why}" for why in _bars(case, name, each))
        if role in case.wanted and state[name] not in case.wanted[role]:
            yield f"at the end not what is wanted on {name}"
