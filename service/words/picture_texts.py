"""What pictures say: titles, the facts of each place as short sentences, and how to read the marks."""

from __future__ import annotations

from collections.abc import Mapping

UNIT_TITLE = "What sits in this machine"
FIT_TITLE = "What this board would change"
MACHINE = "This machine"
PLATE = "The serial number on its plate is {serial}."
KNOWN_ON = "This is what was known on {day} at {time} UTC."
ITS_MODEL = "Its model: {models}."
ITS_MODEL_NOT_KNOWN = "Which model it is, is not known."
AS_IT_IS = "As it is now"
WITH_BOARD = "With this board"
OTHERS = "The other boards"
OTHERS_STAY = "The other boards stay as they are"
DESCRIBED = "{board} ({mark}): {facts}"
"""A board in the description that is read aloud."""

SERIAL = "Its serial number is {serial}."
PART = "Its part number is {part}."
PART_NOT_KNOWN = "Its part number is not known."
BOUND = "It is programmed for {bound}, permanently."
MAY_BE_BOUND = "It is programmed for {bound}; which of them is not known."
IS_BLANK = "It is blank: it has not been programmed yet."
MAY_BE_BLANK = "It is blank, or programmed for {bound}; which is not known."
BINDING_NOT_KNOWN = "What it is programmed for is not known."
WHICH_NOT_KNOWN = "It is programmed; for which model is not known."
HOLDS = "It carries the serial number of machine {serial}."
HOLDS_THIS = "It carries the serial number of this machine."
HOLDS_OTHER = "It carries the serial number of another machine."
HOLDS_NONE = "It carries no machine's serial number."
HOLDER_NOT_KNOWN = "Which machine's serial number it carries is not known."
PAIRS: Mapping[str, str] = {
    "introduced": "The {board} and the {other} are introduced to each other.",
    "not_introduced": "The {board} and the {other} are not introduced to each other.",
    "not_known": "Whether the {board} and the {other} are introduced to each other is not known.",
}
"""By `pictures.content.Pair`; the first is the board that follows."""
READ = "This was read from the board."
RECORDED = "This is in our records."
AS_MADE = "Nothing is recorded of it. We take it to be as the factory made it."
NO_BOARD = "No board sits here."
MADE_WITHOUT = "The factory fits none here."
NO_PLACE = "This machine has no place for it."
KIND_NOT_KNOWN = "What kind of board it is, is not known: {boards}."
SOME_BOARD = "board"

GOES_IN = "goes in"
COMES_OUT = "comes out"
STAYS = "stays"

MODEL_OPEN = "not known"
MODEL_BLANK = "blank"

CHANGES = "What the machine can do then"
GAINS = "It gains: {capabilities}."
MAY_GAIN = "It may gain: {capabilities}."
LOSES = "It loses: {capabilities}."
MAY_LOSE = "It may lose: {capabilities}."
ALL_STAYS = "What it can do stays as it is."
NOTHING_RUNS = "It does not run, so it can do nothing."
WORK = "How long the work takes"
WORK_IF_IT_FITS = "How long the work takes if it turns out to fit"
MENDS = "What puts it right"

LEGEND = "How to read this picture"
MARKS: Mapping[str, str] = {
    "in_order": "in order",
    "as_made": "taken to be as made",
    "to_do": "something has to be done",
    "in_the_way": "stands in the way",
    "not_known": "not known",
    "empty": "no board",
}
"""By `pictures.content.Mark`."""
TIES: Mapping[str, str] = {
    "same": "programmed for this machine's model",
    "other": "programmed for another model",
    "open": "blank, or not known for which model",
}
"""By `pictures.content.Tie`."""
LINKS: Mapping[str, str] = {
    "introduced": "introduced to each other",
    "not_introduced": "not introduced to each other",
    "not_known": "not known whether introduced",
}
"""By `pictures.content.Pair`."""
