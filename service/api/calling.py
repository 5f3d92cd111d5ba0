"""What a view is handed besides its input: the shop that answers, and who asks."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import cast

from flask import Request, current_app, request

from service.api.edge.languages import lookup
from service.domain.catalogue.compiled import CompiledCatalogue
from service.usecases.caller import Caller
from service.usecases.shop import Shop
from service.words.language import LANGUAGES, SOURCE

EXTENSION = "boardfit"


class Asked(Request):
    """A request, and who it is from."""

    caller: Caller
    """The holder of the key, whom the guard let in."""


def asked() -> Asked:
    """The request that is being answered: itself, and not what looks for it with each thing it is asked."""
    return cast("Asked", request._get_current_object())  # type: ignore[attr-defined] # noqa: SLF001 - its documented way


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


def caller(of: Asked) -> Caller:
    """Who asks, with the language that the call accepts."""
    code = lookup(of.environ.get("HTTP_ACCEPT_LANGUAGE", ""), LANGUAGES, SOURCE)
    return of.caller if code == of.caller.language else replace(of.caller, language=code)
