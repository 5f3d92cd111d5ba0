"""The sentences of the summary, as a customer is told them."""

from __future__ import annotations

FITS = "{boards} will work in your {unit}. Nothing has to be programmed."
FITS_TOGETHER = "{boards} go together and will work in your {unit}. Nothing has to be programmed."
FITS_PROGRAMMED = "{boards} will work in your {unit}, but it will not run until {who_has} programmed it."
FITS_PROGRAMMED_TOGETHER = (
    "{boards} will work in your {unit}, but it will not run until {who_has} programmed them."
)
FITS_PERHAPS_PROGRAMMED = (
    "{boards} will work in your {unit}. Whether anything has to be programmed first is not known yet."
)
FITS_PERHAPS_PROGRAMMED_TOGETHER = (
    "{boards} go together and will work in your {unit}. "
    "Whether anything has to be programmed first is not known yet."
)
RUNS = "Your {unit} runs with the boards that are in it."
RUNS_PROGRAMMED = "Your {unit} will not run until {who_has} programmed the boards that are in it."
RUNS_PERHAPS_PROGRAMMED = (
    "The boards in your {unit} go together. Whether anything still has to be programmed is not known yet."
)
GO_TOGETHER = "Apart from that, the boards in your {unit} go together."
BINDS_AT_POWER_ON = (
    "The first time it is switched on it takes on the machine's model, permanently: do not fit it on trial."
)
STILL_NOT = "Your {unit} will still not have this: {capabilities}. It is not allowed for this model."
ONE_HAS = "{who} has"
SEVERAL_HAVE = "{who} have"
CANNOT_TELL = "We cannot tell yet whether {boards} will work in your {unit}."
CANNOT_TELL_RUNS = "We cannot tell yet whether your {unit} runs with the boards that are in it."
ANYHOW = "It will not work in your {unit}, whichever of these it turns out to be."
NUMBER_EQUAL = "That the part number is the same does not change this."
WOULD_FIT_IF = "With {places} in the machine it would fit."
ANOTHER = "another {board}"
WOULD_RUN_IF = "With {places} it would run."
IF_UNTOUCHED = "This holds if nobody has changed a board in the machine before."
IF_OTHERS_UNTOUCHED = "This holds if nobody has changed any other board in the machine before."
ON_YOUR_WORD = "We go by what we were told."
ON_YOUR_WORD_UNTIL_READ = "We go by what we were told; it is checked before anything is programmed."
NOTHING_SETTLES = (
    "Nothing that you can find out yourself settles it; a dealer has to look at the machine and the board."
)
TOO_MUCH = "Too much is unknown at once. Tell us the machine's model or the board's part number."
UNREADABLE = (
    "The serial number {serial} does not follow any layout that we know. Please read the plate again."
)
MISREAD = "The serial number {serial} cannot be right: please read character {positions} of the plate again."
UNREADABLE_LABEL = (
    "The board's serial number {serial} does not follow any layout that we know. Please read its label again."
)
MISREAD_LABEL = (
    "The board's serial number {serial} cannot be right: please read character {positions} of it again."
)
CORRECT_RECORD = (
    "What is known contradicts itself, so the record has to be corrected before anybody can tell."
)
YOUR_MACHINE = "machine"
THE_BOARDS = "These boards"
THE_BOARDS_INSIDE = "these boards"
THIS_BOARD = "This {board}"
THIS_BOARD_INSIDE = "this {board}"
SOME_BOARD = "board"
