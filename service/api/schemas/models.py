"""Models: what is asked and what is shown."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.common import Paged, flag, many, next_cursor, number, one, revision, text, texts
from service.api.schemas.fields import Choice, Out, Text
from service.domain.terms import Overload


class ModelsQuery(Paged):
    """Filters of the list of models."""

    family = Text(metadata={"description": "Only models of this family.", "example": "plover"})
    market = Text(metadata={"description": "Only models sold in this market.", "example": "mainland"})


class Named(Out):
    """An id with its name."""

    id = text("The id.", longest=64, example="tilt_sensing")
    name = text("The name.", example="tilt sensing")


class Connected(Out):
    """How a board reaches the rest of the unit."""

    through = text("The role of the board it is connected through.", longest=64, example="panel")
    cable = text("The cable.", example="ribbon cable")


class ModelRoleOut(Out):
    """A place, or several equal ones, of a model that takes a board."""

    role = text("The role.", longest=64, example="bumper")
    name = text("Its name.", example="bumper board")
    where = text("Where it sits.", longest=500)
    recognise = text("How to recognise it from outside, without opening the unit.", longest=500)
    places = texts("Names of the places where the role has several.", most=64)
    required = flag("Whether the unit needs a board there.")
    features = texts("What the board there must have.")
    functions = many(Named, "What stops working when this board is at fault.")
    connected = one(Connected, "Through which board and cable it is connected.", required=False)
    markets = texts("Where the model has this role; absent: everywhere.", required=False)


class AllowanceOut(Out):
    """What a model is allowed of one capability."""

    capability = text("The capability.", longest=64, example="battery_packs")
    name = text("Its name.", example="battery packs")
    amount = number("How much: 1 or 0 for a switch.")
    more = Choice(
        Overload,
        name="Overload",
        required=True,
        metadata={"description": "What the unit does when more is connected."},
    )
    planned = flag("Announced for a later release: not available now.")
    markets = texts("Where the permission is valid; absent: everywhere.", required=False)


class ModelOut(Out):
    """What is sold under one name."""

    id = text("The model.", longest=64, example="plover-40")
    name = text("Its name.", example="Plover 40")
    family = text("The family it belongs to.", longest=64, example="plover")
    family_name = text("The family's name.", example="Plover")
    covered = flag("Whether the catalogue gives answers about it; where not, answers are `cannot_tell`.")
    markets = texts("Where it is sold.")
    roles = many(ModelRoleOut, "The boards it has. Empty for a model that is not covered.")
    allows = many(AllowanceOut, "What it is allowed. A capability that is not here is not allowed.")


class ModelAnswer(ModelOut):
    """One model, and the revision that says so."""

    catalogue_revision = revision()


class ModelPage(Out):
    """A page of models, by id."""

    items = fields.List(fields.Nested(ModelOut), required=True, metadata={"maxItems": 100})
    next_cursor = next_cursor()
    catalogue_revision = revision()
