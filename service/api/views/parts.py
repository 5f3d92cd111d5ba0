"""Parts: which one to order (Q2)."""

from __future__ import annotations

from typing import Any

from service.api.blueprint import Routes
from service.api.edge.paging import next_link, page
from service.api.edge.path import PathText
from service.api.edge.reply import Reply
from service.api.present import parts as present
from service.api.schemas.parts import PartAnswer, PartPage, PartsQuery
from service.api.text import catalogue as text
from service.domain.parts.finding import place_in_order
from service.usecases.caller import Caller
from service.usecases.catalogue import find_parts, part_of
from service.usecases.shop import Shop
from service.words.names import named

blp = Routes(
    "parts", __name__, description="What can be ordered, for which model, and what took whose place."
)

FILTERS = ("model", "market", "role", "function", "number")


@blp.operation("/v1/parts", name="find_parts", answer=PartPage, query=PartsQuery)
def list_parts(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """Find a part by model, role, function or number.

    `number` may be the order number or one that is printed on the board. `function` says what
    stopped working ("tilt sensing"): the answer names the board that carries it. For the parts of
    one very unit, with its breaks, ask `/v1/units/{serial}/parts`.
    """
    compiled = shop.catalogue()
    names = named(compiled.catalogue, caller.language)
    filters = {name: query[name] for name in FILTERS if name in query}
    found = find_parts(compiled, **filters)
    shown = page(
        found.parts,
        lambda part: place_in_order(found.order, part),
        query["page_size"],
        query.get("cursor"),
        {"": "/v1/parts", **filters},
    )
    data = {
        **({"look_first": present.look_first(names, found.shared)} if found.shared else {}),
        "functions": present.functions(found.functions, names),
        "items": [present.part(compiled, part.number, names, query.get("model")) for part in shown.items],
        "next_cursor": shown.next_cursor,
        "catalogue_revision": compiled.catalogue.revision,
    }
    link = next_link("/v1/parts", {**filters, "page_size": str(query["page_size"])}, shown.next_cursor)
    return Reply.of_catalogue(data, lambda: text.parts(data, names.language), link)


@blp.operation(
    "/v1/parts/<string:number>",
    name="get_part",
    answer=PartAnswer,
    path=[
        PathText(
            name="number",
            description="The order number, or a number printed on the boards of one part alone.",
            example="MN-4100",
        )
    ],
    problems=["unknown_part"],
)
def get_part(shop: Shop, caller: Caller, query: dict[str, Any], number: str) -> Reply:
    """Show one part.

    Where it may go, what it replaces, and the number to order today.
    """
    compiled = shop.catalogue()
    names = named(compiled.catalogue, caller.language)
    data = present.part(compiled, part_of(compiled, number).number, names)
    data["catalogue_revision"] = compiled.catalogue.revision
    return Reply.of_catalogue(data, lambda: text.part(data, names.language))
