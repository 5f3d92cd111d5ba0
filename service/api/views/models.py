"""Models: what the catalogue knows of each."""

from __future__ import annotations

from typing import Any

from service.api.blueprint import Routes
from service.api.edge.paging import next_link, page
from service.api.edge.path import PathText
from service.api.edge.reply import Reply
from service.api.present import models as present
from service.api.schemas.models import ModelAnswer, ModelPage, ModelsQuery
from service.api.text import catalogue as text
from service.usecases.caller import Caller
from service.usecases.catalogue import model_of, models_of
from service.usecases.shop import Shop
from service.words.names import named

blp = Routes("models", __name__, description="What is sold, which boards it has, and what it is allowed.")


@blp.operation("/v1/models", name="list_models", answer=ModelPage, query=ModelsQuery)
def list_models(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """List the models of the catalogue.

    Those that are known and not covered are among them: they exist, and no answers are given.
    """
    compiled = shop.catalogue()
    names = named(compiled.catalogue, caller.language)
    filters: dict[str, str] = {name: query[name] for name in ("family", "market") if name in query}
    found = models_of(compiled, filters.get("family"), filters.get("market"))
    shown = page(
        found,
        lambda model: (model.id,),
        query["page_size"],
        query.get("cursor"),
        {"": "/v1/models", **filters},
    )
    data = {
        "items": [present.model(names.catalogue, model) for model in shown.items],
        "next_cursor": shown.next_cursor,
        "catalogue_revision": compiled.catalogue.revision,
    }
    link = next_link("/v1/models", {**filters, "page_size": str(query["page_size"])}, shown.next_cursor)
    return Reply.of_catalogue(data, lambda: text.models(data, names.language), link)


@blp.operation(
    "/v1/models/<string:model>",
    name="get_model",
    answer=ModelAnswer,
    path=[PathText(name="model", description="The model's id.", example="plover-40")],
    problems=["unknown_model"],
)
def get_model(shop: Shop, caller: Caller, query: dict[str, Any], model: str) -> Reply:
    """Show one model.

    Its roles, where each board sits and how to recognise it, and what the model is allowed.
    """
    compiled = shop.catalogue()
    names = named(compiled.catalogue, caller.language)
    data = present.model(names.catalogue, model_of(compiled, model))
    data["catalogue_revision"] = compiled.catalogue.revision
    return Reply.of_catalogue(data, lambda: text.model(data, names))
