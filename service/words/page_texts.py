"""Labels, titles and remarks of the pages in plain text; `service.api.text` lays them out."""

from __future__ import annotations

from collections.abc import Mapping

MORE = "more: cursor={cursor}"
CATALOGUE = "catalogue {revision}"
NONE = "none"
SPAN = "{least} to {most} min"

NO_MODEL = "no model"
MODEL = "{name} ({id}), family {family}"
NOT_COVERED = "known, not covered: no answers about it"
SOLD_IN = "sold in: {markets}"
BOARDS = "boards"
MAY_BE_LEFT_OUT = "may be left out"
ALLOWED = "allowed"
PLANNED = "planned"

NO_PART = "no part is listed for that"
ON_BOARD = "{function}: on the {board}"
DAYS = "{days} days"
ORDER_INSTEAD = "order {parts} instead"
ROLE = "role: {role}"
PRINTED = "printed on the board: {numbers}"
TAKES_PLACE_OF = "takes the place of: {parts}"
MAY_GO_INTO = "may go into"
NOTHING_LISTED = "nothing listed"
ALSO_TAKES = "a swap also takes"
IN_PLACE_OF = "in place of {part}"
LOOK_FIRST = "look first at the {board}: these faults have it in common"
LOOK_FIRST_CABLE = "look first at the {board} and its {cable}: these faults have them in common"
BREAKS: Mapping[str, str] = {
    "serial_from": "plate serial from {bound}",
    "serial_before": "plate serial before {bound}",
    "date_from": "made from {bound}",
    "date_before": "made before {bound}",
}

BOARD = "board {serial}"
UNIT = "unit {serial}"
UNIT_OF = "unit {serial}: {models}"
MODEL_NOT_KNOWN = "model not known"
PART = "part {number}, {name}"
AGREEMENTS: Mapping[str, str] = {
    "agree": "its boards agree, as far as known",
    "not_introduced": "its boards still have to be programmed to work together",
    "disagree": "its boards disagree: one was programmed for another model",
    "incomplete": "a board that it needs is missing or not the right one",
    "releases_disagree": "the software of its boards does not go together",
    "not_usable": "a board in it must not be used as it is",
    "unknown": "whether its boards agree cannot be told yet",
}
IDENTITY_CONFLICT = "what is known of its identity does not agree: clear that up first"
NOT_RECORDED = "nothing is recorded of it"
MADE = "made {first} to {last}"
READ_AGAIN = "the serial cannot be right: read character {places} again"
NO_SHAPE = "no serial of this shape is known"
CAN_DO = "can do"
EMPTY = "empty"
BOUND_TO = "bound to {models}"
AS_MADE = "as made"
PERHAPS = "depending on what is not known of the unit"
BINDING = "binding: {binding}"
BLANK = "blank"
NOT_KNOWN = "not known"
CONDITION = "condition: {conditions}"
CONDITIONS: Mapping[str, str] = {
    "usable": "usable",
    "exposed": "exposed and not tested since",
    "failed": "failed on test",
    "scrapped": "scrapped",
}
FITTED_IN = "fitted in {unit} as {place}"
HELD = "held: ask before selling or programming"
ABILITY: Mapping[str, str] = {"yes": "yes", "no": "no", "unknown": "not known"}
FROM_TO = "{least} to {most}"

TO_DO = "what to do"
MINUTES = "{least} to {most} minutes in all"
TO_FIND_OUT = "to find out"
HELD_TITLE = "held"
HELD_ONE = "{what}: ask before selling or programming"
HOLDERS: Mapping[str, str] = {
    "board": "board",
    "unit": "unit",
    "donor": "machine that the board came out of",
}
"""What something may be held against."""
CAUTIONS = "cautions"
UNDONE_NEVER = "can't be undone"
IF = "if {fact} is {values}"
DEPENDING = "depending on {fact}"

IF_IT_REFUSES = "if it refuses to run"
WHERE_TO_LOOK = "where to look, in this order"
CAUTIONS_MEANWHILE = "cautions while it is put right"
IN_STOCK = "in stock: {address}"

MODELS = "models"
UNITS_WAITING = "units waiting for one"
IN_STOCK_FOR = "boards in stock for {place}"
BEST_FIRST = "best first"
READ_PART_FIRST = "which part these are has to be read first"
BOUNDS: Mapping[str, str] = {
    "this_unit": "this unit",
    "this_model": "this model",
    "blank": "blank",
    "not_known": "not known",
    "binds_nothing": "binds nothing",
}
"""What a board in stock is bound to."""
TESTED = "tested"
NOT_TESTED = "not tested"
NO_PRICE = "no price"
HELD_SHORT = "{what} held: ask first"
HELD_UNIT = "held: ask first"
OUTCOMES: Mapping[str, str] = {
    "fits": "fits",
    "fits_with_programming": "fits with programming",
    "does_not_fit": "does not fit",
    "cannot_tell": "cannot tell",
}
BY = "{outcome} by {who}"

ANSWERED_SINCE = "answered since: {kind}, board {board} (event {seq})"
GO_ON = "go on with after={after}"
NOTHING_RECORDED = "nothing is recorded"
WITHDRAWN = "withdrawn by event {by}: {reason}"
