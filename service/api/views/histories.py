"""What has happened to a board or a machine (Q10)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import quote

from service.api.blueprint import Routes
from service.api.edge.paging import next_link, opened, sealed
from service.api.edge.path import PathText
from service.api.edge.reply import Reply
from service.api.present import events as present
from service.api.present.wording import wording
from service.api.schemas.common import Paged
from service.api.schemas.events import HistoryPage
from service.api.text import events as text
from service.usecases.caller import Caller, Scope
from service.usecases.history import History, board_history, unit_history
from service.usecases.shop import Shop

blp = Routes("histories", __name__, description="What has happened to one board or one machine, in order.")

BOARD = PathText(
    name="serial",
    description="The serial on the label, as read: case, spaces and dashes don't matter.",
    example="TBM4124060151M",
)
UNIT = PathText(
    name="serial",
    description="The serial on the plate, as read: case, spaces and dashes don't matter.",
    example="TMPM23440009J",
)


@blp.operation(
    "/v1/boards/<string:serial>/history",
    name="get_board_history",
    answer=HistoryPage,
    query=Paged,
    path=[BOARD],
    problems=["unknown_board", "bad_cursor"],
    scope=Scope.STOCK,
)
def get_board_history(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """Tell what has happened to this board, oldest first.

    In words and in data. What was withdrawn later stands there too, marked, with the reason.
    """
    return _history(shop, caller, query, "boards", board_history, serial)


@blp.operation(
    "/v1/units/<string:serial>/history",
    name="get_unit_history",
    answer=HistoryPage,
    query=Paged,
    path=[UNIT],
    problems=["unknown_unit", "bad_cursor"],
    scope=Scope.STOCK,
)
def get_unit_history(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """Tell what has happened to this machine, oldest first.

    In words and in data. What was withdrawn later stands there too, marked, with the reason.
    """
    return _history(shop, caller, query, "units", unit_history, serial)


def _history(
    shop: Shop,
    caller: Caller,
    query: Mapping[str, Any],
    of: str,
    ask: Callable[..., History],
    serial: str,
) -> Reply:
    address = f"/v1/{of}/{quote(serial, safe='')}/history"
    (after,) = opened(query["cursor"], {"": address}, [int]) if "cursor" in query else (0,)
    found = ask(shop, caller, serial, after=after, size=query["page_size"])
    following = sealed((found.chapters[-1].version,), {"": address}) if found.more else None
    words = wording(shop.catalogue().catalogue, caller.language)
    data = {**present.history(found, words), "next_cursor": following}
    link = next_link(address, {"page_size": str(query["page_size"])}, following)
    return Reply.of_content(data, lambda: text.history(data, words.names.language), link)
