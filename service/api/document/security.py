"""Keys, as the document tells them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.api.schemas.codes import told
from service.usecases.caller import Scope

SCHEME = "key"
SCOPES: Mapping[str, str] = {
    Scope.ASK: "asks about fit, units, boards, parts and models",
    Scope.STOCK: "reads the ledger: histories, the feed of events, what is in stock and where it can go",
    Scope.SELL: "checks and completes sales",
    Scope.RECORD: "writes events down",
    Scope.ADMINISTER: "corrects events, and sees every owner's sale checks",
}
"""What each scope is good for. A test holds it complete."""

BEARER: dict[str, Any] = {
    "type": "http",
    "scheme": "bearer",
    "bearerFormat": "bfk_<id>_<secret>_<check>",
    "description": "A key, sent as `Authorization: Bearer KEY` and nowhere else. Whoever runs the service "
    f"makes keys with `python -m service keys make`, each good for some scopes. {told(SCOPES)} "
    "No scope implies another. A key counts its requests a minute (`RateLimit`). "
    "The answers to a public key are made without the ledger.",
}


def security(scope: Scope | None) -> list[dict[str, list[str]]]:
    """The security requirement of an operation; none for one that needs no key."""
    return [] if scope is None else [{SCHEME: [scope.value]}]


def scope_told(requirements: list[dict[str, list[str]]]) -> str:
    """The same in words."""
    scopes = [scope for each in requirements for scope in each[SCHEME]]
    return f"Needs a key with the scope `{scopes[0]}`." if scopes else "Needs no key."
