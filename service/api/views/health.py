"""Whether the process is alive, and whether it can answer."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from service.api.blueprint import Routes
from service.api.edge.reply import Reply
from service.api.problems.handlers import NOTHING_PUBLISHED, STOPPING
from service.api.schemas.fields import Out
from service.usecases.caller import Caller
from service.usecases.shop import Shop

blp = Routes("health", __name__, description="For the machinery that runs the service.")


class Health(Out):
    """The service answers."""

    status = fields.String(
        required=True, metadata={"description": "Always ok: anything else is a problem.", "enum": ["ok"]}
    )


@blp.operation("/healthz", name="is_alive", answer=Health, scope=None)
def is_alive(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """Tell whether the process is alive.

    It looks at nothing else: restart the process when this fails.
    """
    return Reply.of_moment({"status": "ok"}, lambda: "ok\n")


@blp.operation("/readyz", name="is_ready", answer=Health, problems=["stopping"], scope=None)
def is_ready(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """Tell whether questions can be answered: the store is reached and a catalogue is published.

    Send no requests while this is a 503. A server that is told to stop says so here first, and goes on
    answering for a while.
    """
    if shop.stopping():
        raise STOPPING
    if not shop.ready():
        raise NOTHING_PUBLISHED
    return Reply.of_moment({"status": "ok"}, lambda: "ok\n")
