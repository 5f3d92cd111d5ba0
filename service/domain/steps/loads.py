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


def load_refusals(hub: Hub, setup: Setup, action: Action) -> Iterator[str]:
    """Why this release cannot be loaded onto that board. What is not known of the boards refuses nothing."""
    board = setup.boards.get(action.place) if action.place else None
    if board is None or action.place is None or action.release is None:
        return
    release = hub.compiled.catalogue.software.release(action.place.role, action.release)
    if release is None:
        yield "release_not_listed"
        return
    if not _is_for(release, board, hub):
        yield "release_not_for_board"
    if (
        board.release is not None
        and release.loads_from is not None
        and board.release not in release.loads_from
    ):
        yield "not_loaded_over_that"
    after = setup.put(action.place, replace(board, release=action.release))
    if not set(_at_odds(hub, after)) <= set(_at_odds(hub, setup)):
        yield "sets_boards_at_odds"


def _is_for(release: Release, board: Fitted, hub: Hub) -> bool:
    part = release.parts is None or board.part in release.parts
    return part and (release.models is None or hub.model.id in release.models)


def _at_odds(hub: Hub, setup: Setup) -> Iterator[frozenset[Place]]:
    """The pairs of boards of which one has not what its release needs of the other, as far as is known."""
    software = hub.compiled.catalogue.software
    known = ((place, board.release) for place, board in setup.boards.items())
    carried = {place: release for place, release in known if release is not None}
    for one, other in permutations(carried, 2):
        release = software.release(one.role, carried[one])
        need = release.needs.get(other.role) if release is not None else None
        if need is not None and carried[other] not in need.range:
            yield frozenset((one, other))
