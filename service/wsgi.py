"""For WSGI servers: `service.wsgi:app`. The app is made when it is asked for, not at import."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.server.app import served_app
from service.server.starting import settings

if TYPE_CHECKING:
    from flask import Flask


def __getattr__(name: str) -> Flask:
    if name != "app":
        raise AttributeError(name)
    return served_app(settings())
