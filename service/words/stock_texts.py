"""What is said of boards in stock: where one can go, and which one to take."""

from __future__ import annotations

from collections.abc import Mapping

FITS = "This {board} can go into {models}, and nothing has to be programmed."
FITS_PROGRAMMED = "This {board} can go into {models}, once it is programmed or set up there."
CANNOT_TELL = "For {models} it depends on what is not known yet."
NOWHERE = "As it is, this {board} can go into no machine."
NO_PART = "Which part this board is, nobody has written down, and its label does not say. Read the number printed on it."
SOME_BOARD = "board"

SOLD = "It was sold."
HELD = "Something is on record about it: ask before it is sold or programmed."
FITTED = "It is recorded as fitted in a machine, and would have to be taken out there."
CONDITIONS: Mapping[str, str] = {
    "scrapped": "It was scrapped.",
    "failed": "It failed its test.",
    "exposed": "It was exposed to water, lightning or fire, and has not been tested since.",
}
PERHAPS_EXPOSED = "It may have been exposed to water, lightning or fire: it has to be tested first."

NOTHING_IN_STOCK = "There is no board in stock that may go there."
NO_BOARD_WORKS = "No board works there as things are. {why}"
