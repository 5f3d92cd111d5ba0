"""What a view is handed besides its input: the shop that answers, and who asks."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import cast

from flask import current_app, g, request

from service.api.edge.languages import lookup
from service.usecases.caller import Caller
from service.usecases.shop import Shop
from service.words.language import LANGUAGES, SOURCE

EXTENSION = "boardfit"


def shop() -> Shop:
    """The shop of the running app, held to one catalogue revision for the length of a request."""
    made = cast("Shop", current_app.extensions[EXTENSION])
    held = cache(made.catalogue)
    return replace(
        made, catalogue=held, catalogue_at=lambda as_of: held() if as_of is None else made.catalogue_at(as_of)
    )


def caller() -> Caller:
    """Who asks: the holder of the key, whom the guard let in, with the language that the call accepts."""
    admitted = cast("Caller", g.caller)
    code = lookup(request.headers.get("Accept-Language", ""), LANGUAGES, SOURCE)
    return admitted if code == admitted.language else replace(admitted, language=code)
