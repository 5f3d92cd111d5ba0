"""Models: what is asked and what is shown."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.common import (
    Paged,
    a_flag,
    a_number,
    a_text,
    an,
    some,
    some_texts,
    the_next_cursor,
    the_revision,
)
from service.api.schemas.fields import Choice, Out, Text
from service.domain.terms import Overload


class ModelsQuery(Paged):
    """Filters of the list of models."""

    family = Text(metadata={"description": "Only models of this family.", "example": "plover"})
    market = Text(metadata={"description": "Only models sold in this market.", "example": "mainland"})


class Named(Out):
    """An id with its name."""

    id = a_text("The id.", longest=64, example="tilt_sensing")
    name = a_text("The name.", example="tilt sensing")


class Connected(Out):
    """How a board reaches the rest of the unit."""

    through = a_text("The role of the board it is connected through.", longest=64, example="panel")
    cable = a_text("The cable.", example="ribbon cable")


class ModelRoleOut(Out):
    """A place, or several equal ones, of a model that takes a board."""

    role = a_text("The role.", longest=64, example="bumper")
    name = a_text("Its name.", example="bumper board")
    where = a_text("Where it sits.", longest=500)
    recognise = a_text("How to recognise it from outside, without opening the unit.", longest=500)
    places = some_texts("Names of the places where the role has several.", most=64)
    required = a_flag("Whether the unit needs a board there.")
    features = some_texts("What the board there must have.")
    functions = some(Named, "What stops working when this board is at fault.")
    connected = an(Connected, "Through which board and cable it is connected.", required=False)
    markets = some_texts("Where the model has this role; absent: everywhere.", required=False)


class AllowanceOut(Out):
    """What a model is allowed of one capability."""

    capability = a_text("The capability.", longest=64, example="battery_packs")
    name = a_text("Its name.", example="battery packs")
    amount = a_number("How much: 1 or 0 for a switch.")
    more = Choice(
        Overload,
        required=True,
        metadata={"description": "What the unit does when more is connected."},
    )
    planned = a_flag("Announced for a later release: not available now.")
    markets = some_texts("Where the permission is valid; absent: everywhere.", required=False)


class ModelOut(Out):
    """What is sold under one name."""

    id = a_text("The model.", longest=64, example="plover-40")
    name = a_text("Its name.", example="Plover 40")
    family = a_text("The family it belongs to.", longest=64, example="plover")
    family_name = a_text("The family's name.", example="Plover")
    covered = a_flag("Whether the catalogue gives answers about it; where not, answers are `cannot_tell`.")
    markets = some_texts("Where it is sold.")
    roles = some(ModelRoleOut, "The boards it has. Empty for a model that is not covered.")
    allows = some(AllowanceOut, "What it is allowed. A capability that is not here is not allowed.")


class ModelAnswer(ModelOut):
    """One model, and the revision that says so."""

    catalogue_revision = the_revision()


class ModelPage(Out):
    """A page of models, by id."""

    items = fields.List(fields.Nested(ModelOut), required=True, metadata={"maxItems": 100})
    next_cursor = the_next_cursor()
    catalogue_revision = the_revision()
