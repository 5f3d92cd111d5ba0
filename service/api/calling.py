"""What a view is handed besides its input: the shop that answers, and who asks."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import cast

from flask import current_app, g, request

from service.api.edge.languages import lookup
from service.domain.catalogue.compiled import CompiledCatalogue
from service.usecases.caller import Caller
from service.usecases.shop import Shop
from service.words.language import LANGUAGES, SOURCE

EXTENSION = "boardfit"


def shop() -> Shop:
    """The shop of the running app, held to one catalogue revision for the length of a request."""
    made = cast("Shop", current_app.extensions[EXTENSION])
    held = _Held(made)
    return made._replace(catalogue=held.now, catalogue_at=held.at)


class _Held:
    """The catalogue that a request saw first."""

    __slots__ = ("_made", "_seen")

    def __init__(self, made: Shop) -> None:
        self._made = made
        self._seen: CompiledCatalogue | None = None

    def now(self) -> CompiledCatalogue:
        if self._seen is None:
            self._seen = self._made.catalogue()
        return self._seen

    def at(self, moment: datetime | None) -> CompiledCatalogue:
        return self.now() if moment is None else self._made.catalogue_at(moment)


def caller() -> Caller:
    """Who asks: the holder of the key, whom the guard let in, with the language that the call accepts."""
    admitted = cast("Caller", g.caller)
    code = lookup(request.environ.get("HTTP_ACCEPT_LANGUAGE", ""), LANGUAGES, SOURCE)
    return admitted if code == admitted.language else replace(admitted, language=code)
