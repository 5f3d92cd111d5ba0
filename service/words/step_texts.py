"""The steps of a plan, as the bench reads them. The maker's manual says how each is done."""

from __future__ import annotations

from collections.abc import Mapping

STEPS: Mapping[str, str] = {
    "read_out": "Read out the {board} with the programming tool and write down what it reports. Stop if it is not what this answer took it to be.",
    "read_out_old": "Read out the {board} that comes out, if it still answers, and write down model, serial number and settings. Stop if it is not what this answer took it to be.",
    "remove": "Take out the {board} that is in the machine.",
    "mount": "Fit the {board} that goes in.",
    "load": "Load the software of the {board}.",
    "enter_serial": "Enter the machine's serial number into the {board}.",
    "assign": "Assign the {board} its model.",
    "introduce": "Introduce the {board} and the board that carries the serial number to each other.",
    "calibrate": "Calibrate the {board}.",
    "erase_owner_data": "Erase the former owner's data from the {board}.",
    "fit_accessory": "Fit the accessory.",
    "activate": "Set up again: {subject}.",
    "self_test": "Run the self-test.",
}

PERMANENT = "This cannot be undone."

MEANINGS: Mapping[str, str] = {
    "read_out": "read a board's identity and settings with the programming tool",
    "remove": "take a board out of its place",
    "mount": "put a board into its place",
    "load": "load software into a board",
    "enter_serial": "enter the unit's serial into the naming board; binds a blank one permanently",
    "assign": "have a following board take its model from the naming board, permanently",
    "introduce": "make the naming board and a following board known to each other",
    "calibrate": "calibrate a newly fitted board",
    "erase_owner_data": "erase what a former owner left on a board",
    "fit_accessory": "fit something that is not a board",
    "activate": "set up again what a change of boards undid; `subject` says what",
    "self_test": "run the unit's own test",
}

BY = "{who}, {least} to {most} min"
BY_EXACTLY = "{who}, {most} min"
WHO: Mapping[str, str] = {"owner": "owner", "dealer": "dealer", "maker": "maker"}
BY_WHOM: Mapping[str, str] = {"owner": "its owner", "dealer": "a dealer", "maker": "the maker"}
