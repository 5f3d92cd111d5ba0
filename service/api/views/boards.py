"""One physical board (Q1)."""

from __future__ import annotations

from typing import Any

from service.api.blueprint import Routes
from service.api.edge.path import PathText
from service.api.edge.reply import Reply
from service.api.present import units as present
from service.api.schemas.units import BoardAnswer
from service.api.text import units as text
from service.usecases.boards import known_board
from service.usecases.caller import Caller
from service.usecases.shop import Shop
from service.words.names import named

blp = Routes("boards", __name__, description="One board, by the serial on its label.")


@blp.operation(
    "/v1/boards/<string:serial>",
    name="get_board",
    answer=BoardAnswer,
    path=[
        PathText(
            name="serial",
            description="The serial on the label, as read: case, spaces and dashes don't matter.",
            example="TBM4124100001X",
        )
    ],
    problems=["unknown_board"],
)
def get_board(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """Tell what this board is.

    What its label says, and what is recorded of it: binding, condition, where it is fitted, holds.
    """
    names = named(shop.catalogue().catalogue, caller.language)
    data = present.board(names.catalogue, known_board(shop, caller, serial), caller)
    return Reply.of_content(data, lambda: text.board(data, names.language))
