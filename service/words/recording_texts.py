"""Why an event is not recorded, and how boards and machines stand."""

from __future__ import annotations

from collections.abc import Mapping

REFUSALS: Mapping[str, str] = {
    "fitted_elsewhere": "The {board} is recorded in the {unit}, as its {place}.",
    "place_is_taken": "The {place} of the {unit} is recorded to be the {board}.",
    "place_is_empty": "The {place} of the {unit} is recorded to be taken out.",
    "not_recorded_there": "The {board} is not what is recorded as the {place} of the {unit}.",
    "unit_has_ended": "The {unit} ended by event {event}.",
    "board_is_scrapped": "The {board} was scrapped by event {event}.",
    "already_sold": "The {board} was sold already.",
    "not_sold": "The {board} was not sold by us.",
    "not_in_custody": "The {board} is not recorded to be in the shop.",
    "board_is_held": "The {board} is held by event {event}: {hold}.",
    "no_such_hold": "No hold of event {event} stands against the {subject}.",
    "serial_of_another_unit": "The {unit} is registered already as another machine.",
    "does_not_name": "The {board} cannot carry the serial number of a machine.",
    "does_not_follow": "The {board} cannot be assigned a model.",
    "bound_to_other_model": "The {board} is bound to {a_model}, permanently.",
    "already_bound": "The {board} is bound to a model already, permanently.",
    "serial_in_service_elsewhere": "The {board} holds the serial number of the {holder}, which is in service.",
    "nothing_assigns_it": "No board in the {unit} carries its serial number, so none can assign a model.",
    "naming_board_is_blank": "The board that has to assign the model is blank itself.",
    "naming_board_is_of_another_model": "The {naming} is bound to {a_naming_model}, and assigns that model alone.",
    "board_is_blank": "One of the two boards is blank.",
    "boards_disagree": "The two boards are bound to different models.",
    "carries_no_software": "The {board} carries no software.",
}
"""What stands against an event, told with its facts."""

MEANINGS: Mapping[str, str] = {
    "fitted_elsewhere": "the board is recorded in another place: `found` is the way on",
    "place_is_taken": "another board is recorded in the place",
    "place_is_empty": "the place is recorded to be empty",
    "not_recorded_there": "another board is recorded in the place that is closed",
    "unit_has_ended": "the unit was scrapped, dismantled or converted",
    "board_is_scrapped": "the board was scrapped; only a correction brings it back",
    "already_sold": "the board was sold and has not come back",
    "not_sold": "the board was not sold by us: it is `received`",
    "not_in_custody": "the board is not recorded to be in the shop",
    "board_is_held": "a hold stands against the board",
    "no_such_hold": "no such hold stands",
    "serial_of_another_unit": "a serial that is issued for a unit is no other unit's",
    "does_not_name": "the board cannot hold a unit's serial",
    "does_not_follow": "the board cannot be assigned a model",
    "bound_to_other_model": "the board is bound to another model, permanently",
    "already_bound": "the board is bound already, permanently",
    "serial_in_service_elsewhere": "the board holds the serial of another unit that is in service",
    "nothing_assigns_it": "no board that names sits in the unit",
    "naming_board_is_blank": "the board that names is blank itself",
    "naming_board_is_of_another_model": "the board that names is bound to another model than is told",
    "board_is_blank": "a blank board is introduced to nothing",
    "boards_disagree": "the two boards are bound to different models",
    "carries_no_software": "boards of that role carry no software",
}

UNCORRECTABLE: Mapping[str, str] = {
    "no_such_event": "there is no event of this number: look it up in the history",
    "is_a_correction": "it is a correction itself: record what is true by new events",
    "withdrawn_already": "it is withdrawn already",
    "later_event": "a later event rests on it: withdraw that one first, or record what is true by new events",
}
"""Why an event cannot be withdrawn."""

BOARD_IS: Mapping[str, str] = {
    "blank": "The {board} is blank.",
    "bound": "The {board} is bound to {a_model}, permanently.",
    "open": "The {board} is blank or bound to {a_model}; which, is not known.",
    "contradictory": "What is recorded of the binding of the {board} contradicts itself: {values}.",
    "unknown": "What the {board} is bound to is not known.",
    "sits": "It sits in the {unit}.",
    "in_custody": "It is in the shop.",
    "away": "It is not in the shop.",
    "sold": "It was sold.",
    "scrapped": "It was scrapped.",
    "held": "It is held: {holds}.",
}
UNIT_IS: Mapping[str, str] = {
    "in_service": "The {unit} is registered and in service.",
    "ended": "The {unit} is not in service any more.",
    "not_registered": "The {unit} is not registered.",
    "boards": "Recorded in it: {boards}.",
    "no_boards": "No board is recorded in it.",
    "held": "It is held: {holds}.",
}
"""How a board or a machine stands."""

BLANK = "blank"
