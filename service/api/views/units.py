"""One very unit: what it is, what sits in it, which parts are for it (Q1, Q2, Q9)."""

from __future__ import annotations

from typing import Any

from service.api.blueprint import Routes
from service.api.edge.path import PathText
from service.api.edge.reply import Reply
from service.api.present import parts as present_parts
from service.api.present import units as present
from service.api.present.wording import wording
from service.api.schemas.units import UnitAnswer, UnitParts, UnitPartsQuery, UnitQuery
from service.api.text import units as text
from service.domain.terms import Means, ModelId
from service.pictures.svg import drawn
from service.pictures.telling import unit_picture
from service.usecases.caller import Caller
from service.usecases.shop import Shop
from service.usecases.units import known_unit, parts_for
from service.words.names import named

blp = Routes("units", __name__, description="One machine, by the serial on its plate.")

SERIAL = PathText(
    name="serial",
    description="The serial on the plate, as read: case, spaces and dashes don't matter.",
    example="TMPL24100001X",
)


@blp.operation(
    "/v1/units/<string:serial>",
    name="get_unit",
    answer=UnitAnswer,
    query=UnitQuery,
    path=[SERIAL],
    problems=["unknown_unit"],
)
def get_unit(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """Tell what this machine is, and whether its boards agree.

    Its serial decoded, what is recorded of it, its boards by role, what it can do, and, where it
    refuses to run, what disagrees and what puts it right.
    """
    catalogue = shop.catalogue().catalogue
    found = known_unit(shop, caller, serial, Means(query["means"]))
    words = wording(catalogue, caller.language)
    data = present.unit(words.names.catalogue, found, words, caller)
    return Reply.of_content(data, lambda: text.unit(data, words.names.language))


@blp.operation(
    "/v1/units/<string:serial>/picture",
    name="draw_unit",
    answer=None,
    query=UnitQuery,
    path=[SERIAL],
    problems=["unknown_unit"],
)
def draw_unit(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """Draw this machine: its boards, what each is programmed for, and what disagrees.

    It shows what GET /v1/units/{serial} tells, and nothing else. In black and white as good as in colour; its
    description says all of it in sentences. With `means=customer` it can be handed to one.
    """
    catalogue = shop.catalogue().catalogue
    found = known_unit(shop, caller, serial, Means(query["means"]))
    names = named(catalogue, caller.language)
    return Reply.of_picture(drawn(unit_picture(found.answer, found.agreement.value, found.advice, names)))


@blp.operation(
    "/v1/units/<string:serial>/parts",
    name="get_unit_parts",
    answer=UnitParts,
    query=UnitPartsQuery,
    path=[SERIAL],
    problems=["unknown_unit"],
)
def get_unit_parts(shop: Shop, caller: Caller, query: dict[str, Any], serial: str) -> Reply:
    """Find the part to order for this very machine.

    Its breaks and its market are taken into account. `function` says what stopped working.
    """
    compiled = shop.catalogue()
    names = named(compiled.catalogue, caller.language)
    found = parts_for(shop, caller, serial, role=query.get("role"), function=query.get("function"))
    models = found.facts.model.values or frozenset()
    model = ModelId(next(iter(models))) if len(models) == 1 else None
    look_first = {"look_first": present_parts.look_first(names, found.shared)} if found.shared else {}
    data = {
        "unit": present.identity(compiled.catalogue, found.facts),
        **look_first,
        "functions": present_parts.functions(found.functions, names),
        "items": [
            {**present_parts.part(compiled, each.part.number, names, model), "certain": each.certain}
            for each in found.parts
        ],
        "catalogue_revision": compiled.catalogue.revision,
    }
    return Reply.of_content(data, lambda: text.parts(data, names.language))
