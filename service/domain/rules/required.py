"""Rule 7, the other half: every role and every feature that the model requires is filled."""

from __future__ import annotations

from collections.abc import Collection

from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding, finding
from service.domain.terms import Rule


def has_required_features(hub: Hub, board: Board) -> Finding | None:
    """Rule 7, for every board of the resulting set: it has what the model requires in its role."""
    use = hub.roles.get(board.place.role)
    if use is None or not use.features:
        return None
    has = hub.parts[board.part].features
    missing = sorted(feature for feature in use.features if has.get(feature, 0) < 1)
    if not missing:
        return None
    facts = (("feature", missing[0]), ("part", board.part), ("unit_model", hub.model.id))
    return finding("feature_missing", Rule.ASSIGNABLE, board.place, "part", *facts)


def empty_roles(hub: Hub, empty: Collection[Place]) -> list[Finding]:
    """Rule 7, for the resulting set: no required place is left empty."""
    return [
        finding("role_empty", Rule.ASSIGNABLE, place, "", ("unit_model", hub.model.id))
        for place in hub.places
        if place in empty and hub.roles[place.role].required
    ]
