"""When a load is refused: the release is not for that board or not over what is on it, or it sets boards at
odds. And what it changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.software.releases import Release
from service.domain.software.versions import Version
from service.domain.steps.setup import Action, Fitted, Pair, Setup
from service.domain.terms import RoleId


def load_refusals(hub: Hub, setup: Setup, action: Action) -> Iterator[str]:
    """Why this release cannot be loaded onto that board. What is not known of the boards refuses nothing, nor
    do releases that are names alone."""
    board = setup.boards.get(action.place) if action.place else None
    if board is None or action.place is None or action.release is None:
        return
    release = _release(hub, action.place.role, action.release)
    if release is None:
        return
    if not _is_for(release, board, hub):
        yield "release_not_for_board"
    over = board.release is None or release.loads_from is None or board.release in release.loads_from
    if not over:
        yield "not_loaded_over_that"
    after = loaded(hub, setup, action)
    if set(_at_odds(hub, after)) - (after.let_off or frozenset()):
        yield "sets_boards_at_odds"


def loaded(hub: Hub, setup: Setup, action: Action) -> Setup:
    """The setup after a load. The first of several begins a time in which boards at odds are let off."""
    assert action.place is not None
    let_off = frozenset(_let_off(hub, setup)) if setup.let_off is None else setup.let_off
    release = None if action.release is None else _release(hub, action.place.role, action.release)
    board = replace(setup.boards[action.place], release=release.version if release else None)
    return replace(setup.put(action.place, board), let_off=let_off)


def _release(hub: Hub, role: RoleId, position: int) -> Release | None:
    """The release at a position, with what it asks for; None where nobody says."""
    newest_first = hub.compiled.catalogue.software.releases.get(role)
    return None if newest_first is None else newest_first[-1 - position]


def _is_for(release: Release, board: Fitted, hub: Hub) -> bool:
    part = release.parts is None or board.part in release.parts
    return part and (release.models is None or hub.model.id in release.models)


def _let_off(hub: Hub, setup: Setup) -> Iterator[Pair]:
    """The pairs that do not go together now, and those of which nobody knows."""
    yield from _at_odds(hub, setup)
    yield from (
        frozenset((one, other))
        for one, other in combinations(setup.boards, 2)
        if setup.boards[one].release is None or setup.boards[other].release is None
    )


def _at_odds(hub: Hub, setup: Setup) -> Iterator[Pair]:
    """The pairs of boards of which one has not what its release needs of the other, as far as is known."""
    carried = {place: board.release for place, board in setup.boards.items() if board.release is not None}
    for one, other in combinations(carried, 2):
        if not (_has_its_needs(hub, one, other, carried) and _has_its_needs(hub, other, one, carried)):
            yield frozenset((one, other))


def _has_its_needs(hub: Hub, one: Place, other: Place, carried: dict[Place, Version]) -> bool:
    listed = hub.compiled.catalogue.software.releases.get(one.role, ())
    release = next((each for each in listed if each.version == carried[one]), None)
    need = release.needs.get(other.role) if release else None
    return need is None or carried[other] in need.range
