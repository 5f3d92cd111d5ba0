"""What happened to boards and machines, as a diary tells it."""

from __future__ import annotations

from collections.abc import Mapping

EVENTS: Mapping[str, str] = {
    "registered": "The {subject} was registered.",
    "received": "The {board} came into the shop.",
    "read_out": "The {board} was read out.",
    "fitted": "The {board} was fitted into the {unit}.",
    "removed": "The {board} was taken out of the {unit}.",
    "found": "The {board} turned up, and is under query until it is clear how it got there.",
    "step_started": "{step} was started.",
    "step_finished": "{step} was finished.",
    "step_failed": "{step} broke off half way.",
    "accessory_fitted": "The {unit} has this fitted now: {accessory}, {amount}.",
    "tested": "The {board} passed its test.",
    "exposed": "The {board} was exposed to {cause}.",
    "hold_placed": "The {subject} is held: {hold}.",
    "hold_lifted": "What event {placed} held against the {subject} was lifted, as {who} confirmed: {evidence}.",
    "sale_checked": "Whether the {board} may be sold was asked, and answered by sale check {check}.",
    "sold": "The {board} was sold.",
    "returned": "The {board} came back.",
    "scrapped": "The {subject} was scrapped.",
    "dismantled": "The {unit} was dismantled.",
    "converted": "The {unit} was converted and is the {into} now.",
    "corrected": "Event {withdraws} was withdrawn: {reason}.",
}
"""The first sentence of each kind."""

VARIANTS: Mapping[str, str] = {
    "read_out_in_unit": "The {board} was read out in the {unit}.",
    "removed_unread": "A {board} whose serial could not be read was taken out of the {unit}.",
    "found_in_unit": "The {board} turned up in the {unit}, and is under query until it is clear how it got there.",
    "tested_failed": "The {board} failed its test.",
    "sale_checked_unrecorded": "Whether a board with the serial {label} may be sold was asked, and answered by sale check {check}. Nothing is recorded of such a board.",
    "exposed_perhaps": "The {board} may have been exposed to {cause}.",
}
"""The first sentence where the plain one would say too much or too little."""

STEPS: Mapping[str, str] = {
    "load": "Loading software into the {board}",
    "enter_serial": "Entering the serial number of the {unit} into the {board}",
    "assign": "Assigning the {board} of the {unit} its model",
    "introduce": "Introducing the {board} and the {naming} of the {unit} to each other",
    "calibrate": "Calibrating the {board}",
    "erase_owner_data": "Erasing the former owner's data from the {subject}",
    "activate": "Setting up the {unit} again",
    "self_test": "The self-test of the {unit}",
}

DETAILS: Mapping[str, str] = {
    "blank": "It is blank.",
    "used": "It was programmed before; for which model is not known.",
    "bound": "It is bound to {a_model}, permanently.",
    "holds": "It holds the serial number {holds}.",
    "holds_none": "It holds no serial number.",
    "release": "Its software release is {release}.",
    "introduced": "It is introduced to the {naming}.",
    "not_introduced": "It is not introduced to the board that carries the serial number.",
    "with_boards": "Recorded with it: {boards}.",
    "stayed": "These boards stayed in it: {boards}.",
    "was": "It was recorded in the {was}.",
    "in_custody": "It is in the shop.",
    "not_in_custody": "It is not in the shop.",
    "recorded": "The {recorded} was recorded there, and is so no more.",
    "not_kept": "It did not stay with us.",
    "for_unit": "It was meant for the {for_unit}.",
    "by_check": "This rests on sale check {check}.",
    "broke_off": "What it holds now is not known: read it out before anything else.",
    "in_truth": "In truth the {board} is as follows.",
}
"""What a first sentence leaves open, where it is recorded."""

BOARD = "{board} {serial}"
UNIT = "{unit} {serial}"
SOME_BOARD = "board"
SOME_UNIT = "machine {serial}"

HOLDS: Mapping[str, str] = {
    "reported_stolen": "reported stolen",
    "recalled": "recalled by its maker",
    "locked_to_owner": "locked to its owner",
    "owed_to_maker": "owed to the maker",
    "under_query": "under query",
}
CAUSES: Mapping[str, str] = {"water": "water", "lightning": "lightning", "fire": "fire"}
CONFIRMED_BY: Mapping[str, str] = {"owner": "the owner", "maker": "the maker"}

MEANINGS: Mapping[str, str] = {
    "registered": "a unit with what its plate and papers say and the boards that it was made with, or one board",
    "received": "a board came into our hands",
    "read_out": "the programming tool read a board; with a unit, while it sat there",
    "fitted": "a board was put into a unit",
    "removed": "a board was taken out of a unit; without `board`, one whose serial could not be read",
    "found": "a board turned up elsewhere than recorded: its old place is closed, and it goes under query",
    "step_started": "a step of programming or setting up was started",
    "step_finished": "it was finished; `enter_serial` and `assign` bind a blank board permanently",
    "step_failed": "it broke off: what it left behind is not known until the board is read out",
    "accessory_fitted": "how many of an accessory a unit has now",
    "tested": "a board was tested",
    "exposed": "a board was exposed to water, lightning or fire, or may have been",
    "hold_placed": "a reason not to sell or program a board or unit",
    "hold_lifted": "such a reason is gone, as the owner or the maker confirmed",
    "sale_checked": "the till asked whether a board may be sold",
    "sold": "a board went to a customer",
    "returned": "a board that we sold came back",
    "scrapped": "a board or unit is scrap",
    "dismantled": "a unit was taken apart for its boards",
    "converted": "the maker issued another serial for a unit, as another model",
    "corrected": "an event is withdrawn; with `board`, what that board is in truth. Needs administering",
}
