"""What a view gives back, and the response made of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

import orjson
from flask import Request, Response

from service.api.edge.negotiate import JSON, TEXT
from service.api.edge.validators import entity_tag, is_known
from service.pictures.svg import STYLE_HASH
from service.usecases.repeats import Stored

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

KEPT = "private, no-cache"
"""May be kept by the caller's own cache, which asks each time whether it still holds."""
NOT_KEPT = "no-store"
VARIES = "Accept, Accept-Language"
REPLAYED = "Idempotency-Replayed"
"""Marks the first answer, given again."""


class Answered(Response):
    """A response that is given out as it was made."""

    def get_wsgi_response(
        self, environ: WSGIEnvironment
    ) -> tuple[Iterable[bytes], str, list[tuple[str, str]]]:
        """Body, status and fields. The library makes copies to mend what a view may have left open, which is
        nothing in an answer in full."""
        if self.status_code != 200 or environ["REQUEST_METHOD"] == "HEAD":
            return super().get_wsgi_response(environ)
        return self.iter_encoded(), self.status, self.headers.to_wsgi_list()


class Reply(NamedTuple):
    """An answer before it takes a media type."""

    data: Any
    """Plain values, as JSON has them."""
    text: Callable[[], str]
    """The same for a person at a terminal; made only when it is asked for."""
    version: str | None = None
    """What the data depends on besides the address; None: not to be kept."""
    by_content: bool = False
    """The data itself is its version: what it depends on is more than a revision."""
    headers: Mapping[str, str] = MappingProxyType({})
    status: int = 200
    language: str | None = None
    """That of an answer that was kept as it was given; None: the caller's."""

    @classmethod
    def of_catalogue(cls, data: Any, text: Callable[[], str], link: str | None = None) -> Reply:
        """An answer that only the catalogue in force decides."""
        headers = {"Link": link} if link else {}
        return cls(data=data, text=text, version=data["catalogue_revision"], headers=headers)

    @classmethod
    def of_content(cls, data: Any, text: Callable[[], str], link: str | None = None) -> Reply:
        """An answer to a GET that the ledger has a part in."""
        headers = {"Link": link} if link else {}
        return cls(data=data, text=text, by_content=True, headers=headers)

    @classmethod
    def of_picture(cls, svg: str) -> Reply:
        """A picture, as the answer to a GET. A browser that opens it alone lets in its style sheet only."""
        policy = f"default-src 'none'; style-src '{STYLE_HASH}'"
        headers = {"Content-Security-Policy": policy}
        return cls(data=svg, text=lambda: svg, by_content=True, headers=headers)

    @classmethod
    def of_kept(cls, data: Any, text: Callable[[], str]) -> Reply:
        """An answer that was kept with its language."""
        return cls(data=data, text=text, by_content=True, language=data["language"])

    @classmethod
    def of_moment(cls, data: Any, text: Callable[[], str]) -> Reply:
        """An answer that is not to be kept: that of a POST, or of a health check."""
        return cls(data=data, text=text)

    @classmethod
    def of_stored(cls, stored: Stored, text: Callable[[], str], location: str) -> Reply:
        """The answer to a write; to one that is repeated the first answer, marked as such."""
        headers = {"Location": location}
        if stored.replayed:
            headers[REPLAYED] = "true"
        return cls(
            data=stored.data, text=text, status=201, headers=headers, language=stored.data.get("language")
        )


def respond(reply: Reply, request: Request, media: str, language: str) -> Response:
    """The response to what was understood: 200, 201 where it was stored, 304 where the caller has it."""
    language = reply.language or language
    body = orjson.dumps(reply.data) if media == JSON or reply.by_content else b""
    version = body if reply.by_content else (reply.version or "").encode()
    if not version:
        return _full(reply, media, language, body, {"Cache-Control": NOT_KEPT})
    tag = entity_tag(version, media, language)
    kept = {"Cache-Control": KEPT, "ETag": f'"{tag}"'}
    if request.method in ("GET", "HEAD") and is_known(request.environ.get("HTTP_IF_NONE_MATCH"), tag):
        return Answered(status=304, headers={"Vary": VARIES, **reply.headers, **kept})
    return _full(reply, media, language, body, kept)


def _full(reply: Reply, media: str, language: str, encoded: bytes, headers: Mapping[str, str]) -> Response:
    body = encoded if media == JSON else reply.text().encode()
    told = [
        ("Content-Type", "text/plain; charset=utf-8" if media == TEXT else media),
        ("Vary", VARIES),
        ("Content-Language", language),
        *reply.headers.items(),
        *headers.items(),
        ("Content-Length", str(len(body))),
    ]
    return Answered([body], status=reply.status, headers=told)
