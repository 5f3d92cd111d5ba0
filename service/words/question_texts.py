"""The questions asked back, and how to find the answer out without opening the machine where that is possible."""

from __future__ import annotations

from collections.abc import Mapping

QUESTIONS: Mapping[str, str] = {
    "unit.serial": "What is the serial number on the machine's plate?",
    "unit.model": "Which model is the machine?",
    "unit.market": "For which market was the machine sold?",
    "unit.made_on": "When was the machine made?",
    "board.role": "What kind of board is it?",
    "part": "Which part number does the {board} have?",
    "binding": "Is the {board} blank, or for which model was it programmed?",
    "holds": "Whose serial number does the {board} still carry?",
    "condition": "Was the {board} exposed to water, lightning or fire since it was last tested?",
    "release": "Which software release is on the {board}?",
    "introduced": "Were the {board} and the board that carries the serial number introduced to each other?",
}

VALUES: Mapping[str, str] = {
    "blank": "blank",
    "nothing": "none",
    "this_unit": "this machine's own",
    "idle": "that of a machine no longer in service",
    "in_service": "that of another machine in service",
    "usable": "usable",
    "exposed": "exposed and not tested since",
    "failed": "failed on test",
    "scrapped": "scrapped",
    "yes": "yes",
    "no": "no",
}
"""What an answer may be, where it is no name of the catalogue."""

SPANS: Mapping[tuple[str, ...], str] = {
    ("first", "last"): "from {first} before {last}",
    ("first",): "from {first}",
    ("last",): "before {last}",
}
"""Serials or days between two breaks, by the bounds that there are."""

HOW: Mapping[str, str] = {
    "how_unit_serial": "Read it from the plate on the machine.",
    "how_unit_model": "It is on the plate and in the papers.",
    "how_unit_market": "It is the market where the machine was bought; the invoice shows it.",
    "how_unit_made_on": "The invoice or the plate shows it.",
    "how_board_role": "Compare it with the pictures and the part number printed on it.",
    "how_part": "The number is printed on the board or its label.",
    "how_binding": "A dealer reads it out with the programming tool; failing that, the papers of the machine it came out of name the model.",
    "how_holds": "A dealer reads it out with the programming tool and looks the serial number up.",
    "how_condition": "Ask whoever had the board last, and look for traces.",
    "how_release": "A dealer reads it out with the programming tool.",
    "how_introduced": "A dealer reads it out with the programming tool.",
    "how_inside_part": "A dealer opens the machine and reads the number printed on the board.",
    "how_inside_binding": "A dealer reads it out with the programming tool.",
    "how_inside_holds": "A dealer reads it out with the programming tool.",
    "how_inside_condition": "A dealer looks at the board and tests it.",
    "how_inside_release": "A dealer reads it out with the programming tool.",
    "how_inside_introduced": "A dealer reads it out with the programming tool.",
}

FACTS: Mapping[str, str] = {
    "part": "the part of the {board}",
    "binding": "what the {board} is programmed for",
    "holds": "the serial number that the {board} carries",
    "condition": "the condition of the {board}",
    "introduced": "whether the {board} was introduced",
    "release": "the software of the {board}",
    "model": "the machine's model",
    "serial": "the machine's serial number",
    "made_on": "the day the machine was made",
    "market": "the machine's market",
}
"""The same facts as phrases."""
