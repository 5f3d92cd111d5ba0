"""What a view gives back, and the response made of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import orjson
from flask import Request, Response

from service.api.edge.negotiate import JSON, TEXT
from service.api.edge.validators import entity_tag, is_known
from service.usecases.repeats import Stored

KEPT = "private, no-cache"
"""May be kept by the caller's own cache, which asks each time whether it still holds."""
NOT_KEPT = "no-store"
REPLAYED = "Idempotency-Replayed"
"""Marks the first answer, given again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """An answer before it takes a media type."""

    data: Any
    """Plain values, as JSON has them."""
    text: Callable[[], str]
    """The same for a person at a terminal; made only when it is asked for."""
    version: str | None = None
    """What the data depends on besides the address; None: not to be kept."""
    by_content: bool = False
    """The data itself is its version: what it depends on is more than a revision."""
    headers: Mapping[str, str] = field(default_factory=dict)
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
    headers = {"Vary": "Accept, Accept-Language", "Content-Language": language, **reply.headers}
    body = orjson.dumps(reply.data) if media == JSON or reply.by_content else b""
    version = body if reply.by_content else (reply.version or "").encode()
    if not version:
        return _full(reply, media, body, {**headers, "Cache-Control": NOT_KEPT})
    tag = entity_tag(version, media, language)
    headers |= {"Cache-Control": KEPT, "ETag": f'"{tag}"'}
    if request.method in ("GET", "HEAD") and is_known(request.headers.get("If-None-Match"), tag):
        del headers["Content-Language"]
        return Response(status=304, headers=headers)
    return _full(reply, media, body, headers)


def _full(reply: Reply, media: str, encoded: bytes, headers: Mapping[str, str]) -> Response:
    body = encoded if media == JSON else reply.text()
    content_type = "text/plain; charset=utf-8" if media == TEXT else media
    return Response(body, status=reply.status, headers=headers, content_type=content_type)
