"""When a load is refused: the release is not for that board or not over what is on it, or it sets boards at
odds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations

from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.software.releases import Release
from service.domain.steps.setup import Action, Fitted, Setup
from service.domain.terms import RoleId


def load_refusals(hub: Hub, setup: Setup, action: Action) -> Iterator[str]:
    """Why this release cannot be loaded onto that board. What is not known of the boards refuses nothing, nor
    do releases that are names alone."""
    board = setup.boards.get(action.place) if action.place else None
    if board is None or action.place is None or action.release is None:
        return
    role = action.place.role
    release, before = _release(hub, role, action.release), _release(hub, role, board.release)
    if release is None:
        return
    if not _is_for(release, board, hub):
        yield "release_not_for_board"
    if before is None:
        return
    if release.loads_from is not None and before.version not in release.loads_from:
        yield "not_loaded_over_that"
    after = setup.put(action.place, replace(board, release=action.release))
    if not set(_at_odds(hub, after)) <= set(_at_odds(hub, setup)):
        yield "sets_boards_at_odds"


def _release(hub: Hub, role: RoleId, position: int | None) -> Release | None:
    """The release at a position, with what it asks for; None where nobody says."""
    newest_first = hub.compiled.catalogue.software.releases.get(role)
    return None if newest_first is None or position is None else newest_first[-1 - position]


def _is_for(release: Release, board: Fitted, hub: Hub) -> bool:
    part = release.parts is None or board.part in release.parts
    return part and (release.models is None or hub.model.id in release.models)


def _at_odds(hub: Hub, setup: Setup) -> Iterator[frozenset[Place]]:
    """The pairs of boards of which one has not what its release needs of the other, as far as is known."""
    known = ((place, _release(hub, place.role, board.release)) for place, board in setup.boards.items())
    carried = {place: release for place, release in known if release is not None}
    for one, other in permutations(carried, 2):
        need = carried[one].needs.get(other.role)
        if need is not None and carried[other].version not in need.range:
            yield frozenset((one, other))
