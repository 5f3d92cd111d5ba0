"""What a view is handed besides its input: the shop that answers, and who asks."""

from __future__ import annotations

from typing import cast

from flask import current_app

from service.usecases.caller import STAFF, Caller
from service.usecases.shop import Shop

EXTENSION = "boardfit"


def shop() -> Shop:
    """The shop that the running app was made with."""
    return cast("Shop", current_app.extensions[EXTENSION])


def caller() -> Caller:
    """Who asks. There are no keys yet, so everybody is staff; English is the one language."""
    return STAFF
