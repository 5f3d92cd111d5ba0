"""The app, made when asked for and never at import."""

from __future__ import annotations

from flask import Flask

from service.api.calling import EXTENSION
from service.api.document.build import DescribedApi
from service.api.edge import every_request
from service.api.problems import handlers
from service.api.views import boards, document, fit, health, models, parts, units
from service.usecases.shop import Shop

MAX_BODY_BYTES = 1_048_576

BLUEPRINTS = (fit.blp, units.blp, boards.blp, parts.blp, models.blp, health.blp)
"""In the order in which the document tells them."""


def create_app(shop: Shop, *, max_body_bytes: int = MAX_BODY_BYTES) -> Flask:
    """A WSGI app that answers from `shop`."""
    app = Flask("service", static_folder=None)
    # The limit is checked where the body is read; one byte more lets that check see the difference.
    app.config.update(MAX_BODY_BYTES=max_body_bytes, MAX_CONTENT_LENGTH=max_body_bytes + 1)
    app.url_map.merge_slashes = False
    app.extensions[EXTENSION] = shop
    every_request.register(app)
    api = DescribedApi(app)
    for blueprint in BLUEPRINTS:
        api.register_blueprint(blueprint)
    handlers.register(app)
    app.register_blueprint(document.blueprint(api))
    return app
