"""The document, made from the registered operations and put into its final form."""

from __future__ import annotations

from typing import Any

from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.common import resolve_schema_cls
from flask import Flask
from flask_smorest import Api

from service import __version__
from service.api.document.about import ABOUT
from service.api.document.examples import kept, place
from service.api.document.security import BEARER, SCHEME
from service.api.document.shaping import shaped
from service.api.schemas.problem import ProblemOut
from service.api.schemas.told import told_by_kind


def _component_name(schema: Any) -> str:
    """The class's name without the mark of what goes out."""
    found = resolve_schema_cls(schema)
    assert not isinstance(found, list), "two schema classes have one name"
    name: str = found.__name__
    return name.removesuffix("Out")


SERVER = {
    "url": "/",
    "description": "The server, local or in production, that this document was fetched from.",
    "x-internal": False,
}


class DescribedApi(Api):  # type: ignore[misc] # the library carries no types
    """The library's API with its habits mended where they make a worse document."""

    DEFAULT_ERROR_RESPONSE_NAME = None
    ERROR_SCHEMA = ProblemOut

    def __init__(self, app: Flask) -> None:
        app.config.update(
            API_TITLE="boardfit",
            API_VERSION=__version__,
            OPENAPI_VERSION="3.1.0",
            API_SPEC_OPTIONS={
                "info": ABOUT,
                "servers": [SERVER],
                "security": [{SCHEME: []}],
            },
        )
        plugin = MarshmallowPlugin(schema_name_resolver=_component_name)
        super().__init__(app, spec_kwargs={"marshmallow_plugin": plugin})
        converter: Any = plugin.converter
        converter.add_attribute_function(told_by_kind)
        self.spec.components.security_scheme(SCHEME, BEARER)

    def _register_error_handlers(self) -> None:
        """The one handler of `problems.handlers` is registered by the app instead."""

    def _register_responses(self) -> None:
        """No ready-made responses: each operation lists its real ones."""

    def document(self) -> dict[str, Any]:
        """The OpenAPI 3.1 document, in a stable order and without anything unused."""
        document = shaped(self.spec.to_dict())
        place(document, kept())
        return document
