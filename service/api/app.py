"""The app, made when asked for and never at import."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Flask, Request, Response
from flask.sessions import NullSession, SessionInterface, SessionMixin
from werkzeug.routing import MapAdapter

from service.api.access import cors, guard
from service.api.access.guard import Access
from service.api.calling import EXTENSION, Asked
from service.api.document.build import DescribedApi
from service.api.edge import every_request
from service.api.edge.reply import Answered
from service.api.problems import handlers
from service.api.seeing.watching import Seeing, Watch
from service.api.views import (
    boards,
    docs,
    document,
    events,
    fit,
    health,
    histories,
    metrics,
    models,
    parts,
    sale,
    software,
    stock,
    units,
    upgrades,
)
from service.usecases.shop import Shop

MAX_BODY_BYTES = 1_048_576

BLUEPRINTS = (
    fit.blp,
    units.blp,
    boards.blp,
    stock.blp,
    histories.blp,
    events.blp,
    sale.blp,
    upgrades.blp,
    software.blp,
    parts.blp,
    models.blp,
    health.blp,
)
"""In the order in which the document tells them."""


class NoSessions(SessionInterface):
    """Nothing is remembered from one request to the next, so the same nothing serves them all."""

    _nothing = NullSession()

    def open_session(self, app: Flask, request: Request) -> NullSession:  # noqa: ARG002 - the library's signature
        return self._nothing

    def save_session(self, app: Flask, session: SessionMixin, response: Response) -> None:
        """There is nothing to save."""


class Service(Flask):
    """Flask without what this service has no use for."""

    request_class = Asked
    response_class = Answered
    session_interface = NoSessions()

    def create_url_adapter(self, request: Request | None) -> MapAdapter | None:
        """What finds the operation. All hosts have the same ones, so no host is taken apart; and since none
        of them redirects, none is named."""
        if request is None:
            return None
        query, method = request.environ.get("QUERY_STRING", ""), request.method
        return MapAdapter(
            self.url_map, "", request.root_path or "/", "", request.scheme, request.path, method, query
        )

    def preprocess_request(self) -> None:
        """Look at a request. Only the app has hooks, and they raise what they refuse."""
        for look in self.before_request_funcs.get(None, ()):
            look()

    def process_response(self, response: Response) -> Response:
        """Complete a response: only the app has hooks, and they leave it the same one."""
        for complete in self.after_request_funcs.get(None, ()):
            complete(response)
        return response

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        """No view and no hook is a coroutine, so none is looked at again with every request."""
        return func

    def make_default_options_response(self) -> Response:
        """OPTIONS: there is no content, so there is nothing to name a type for."""
        response = super().make_default_options_response()
        response.headers.pop("Content-Type", None)
        response.headers["Cache-Control"] = "no-store"
        return response

    def log_exception(self, exc_info: Any) -> None:
        """Nothing: `problems.handlers` logs it, and without the address."""


def create_app(
    shop: Shop, *, access: Access, max_body_bytes: int = MAX_BODY_BYTES, seeing: Seeing | None = None
) -> Flask:
    """A WSGI app that answers from `shop` whom `access` lets in, and tells `seeing` what it does."""
    seeing = seeing or Seeing()
    app = Service("service", static_folder=None)
    # The limit is checked where the body is read; one byte more lets that check see the difference.
    app.config.update(MAX_BODY_BYTES=max_body_bytes, MAX_CONTENT_LENGTH=max_body_bytes + 1)
    app.url_map.merge_slashes = False
    app.extensions[EXTENSION] = shop
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
    every_request.register(app)
    handlers.register(app)
    app.register_blueprint(DOCUMENT)
    app.register_blueprint(docs.blueprint())
    app.register_blueprint(metrics.blueprint(seeing.metrics, shop))
    guard.register(app, access)
    cors.register(app, access.origins)
    vars(app)["wsgi_app"] = Watch(app.wsgi_app, seeing, shop.revision)
    return app


def described() -> dict[str, Any]:
    """The OpenAPI document. It needs no shop: it is the same whatever is published.

    Describing takes longer than all else that makes an app, so it is done when somebody asks.
    """
    api = DescribedApi(Service("service", static_folder=None))
    for blueprint in BLUEPRINTS:
        api.register_blueprint(blueprint)
    return api.document()


DOCUMENT = document.blueprint(described)
"""One for all apps of the process: they have one document, and it is made once."""
