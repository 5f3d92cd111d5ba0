"""Why a machine may refuse to run, and what puts it right, as a customer hears it and as the bench reads it."""

from __future__ import annotations

from collections.abc import Mapping

CAUSES: Mapping[str, str] = {
    "boards_disagree": "Its boards do not agree on a model, so it refuses to run. A board has to change.",
    "incomplete": "A board that it needs is missing, or is not of the kind that it needs.",
    "releases_disagree": "The software of its boards does not go together, and no loading brings it together. A board has to change.",
    "not_usable": "A board in it was scrapped, failed its test, or was or may have been exposed to water, lightning or fire and has not been tested since. It must not be used like this.",
    "not_introduced": "Its boards go together, but some of the programming between them is missing. No board has to change.",
    "not_connected": "Nothing that we know of keeps it from running. If it refuses to run all the same, one of its boards may not be connected. If a board was changed before, that one may be programmed for another model, or not be introduced to the others.",
    "unknown": "What is known of it is not enough to say why it refuses to run.",
}

CABLE = "Look at the {cable} between the {board} and the {through}."

CHANGE = "Fit {boards}."
CHANGE_BINDING = "Fit {boards}. What is programmed for a model has to be blank, or programmed for {a_unit}."
CHANGE_FOR_CUSTOMER = "{who_has} to fit {boards}."
TEST_BOARDS = (
    "Before the machine is used, test what may be damaged: {boards}. A board that fails has to be changed."
)
TEST_BOARDS_FOR_CUSTOMER = "{who_has} to test what may be damaged before the machine is used: {boards}."
PROGRAM = "Do the programming that is missing, step by step as listed."
PROGRAM_FOR_CUSTOMER = "{who_has} to do the programming that is missing. No board has to be bought."
CHECK_CONNECTIONS = (
    "Look at the cables one after the other, in the order given, before anything is changed or programmed."
)
CHECK_CONNECTIONS_FOR_CUSTOMER = (
    "{who_has} to look at its cables first, before anything is bought or programmed."
)
ASK_FIRST = "Something is on record about this machine: ask before anybody works on it."
ASK_FIRST_FOR_CUSTOMER = "Please ask us before anybody works on this machine."
NOT_COVERED = "Our papers do not cover this machine: go by the maker's manual."
READ_OUT = "Its boards have to be read out with the programming tool."
READ_OUT_FOR_CUSTOMER = "A dealer has to read out its boards."

MEANINGS: Mapping[str, str] = {
    "change_boards": "a board has to be fitted, or to take the place of one that stands in the way; `boards` says where",
    "test_boards": "a board may be damaged and has to pass a test before the unit is used; `boards` says where",
    "program": "no board has to change, `programming` of the unit says what is to be done",
    "check_connections": "look at boards and cables in the order of `look_at`; nothing has to be changed or programmed as far as is known",
    "find_out": "something has to be found out first; `ask` of the unit says what, where one question settles it",
    "ask_first": "something is held against the unit: ask before anybody works on it",
}
"""The codes of mends for the developer who reads the document."""

LOOK_MEANINGS: Mapping[str, str] = {
    "cable": "a board and the cable by which it hangs on another, which may be loose or broken",
}
"""What else than a reason's code may say why to look at a board."""
