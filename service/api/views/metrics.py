"""What was counted, for a monitoring system. It is no part of the interface, and not in its document."""

from __future__ import annotations

from flask import Blueprint, Response

from service.api.edge.reply import NOT_KEPT
from service.api.seeing.metrics import CONTENT_TYPE, Metrics
from service.api.seeing.standing import Standing
from service.usecases.caller import Scope
from service.usecases.shop import Shop


def blueprint(counted: Metrics, shop: Shop) -> Blueprint:
    """Shows the counts of a server."""
    blp = Blueprint("metrics", __name__)
    standing = Standing(shop)

    @blp.get("/metrics")
    def metrics() -> Response:
        body = counted.exposed(standing)
        return Response(body, headers={"Cache-Control": NOT_KEPT}, content_type=CONTENT_TYPE)

    vars(metrics)["scope"] = Scope.ADMINISTER
    return blp
