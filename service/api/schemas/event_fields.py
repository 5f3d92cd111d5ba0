"""What each field of an event means, for the document. A test holds the table complete."""

from __future__ import annotations

from collections.abc import Mapping

from service.words.event_texts import CAUSES, CONFIRMED_BY, HOLDS
from service.words.step_texts import MEANINGS as STEPS

FIELDS: Mapping[str, str] = {
    "board": "The board's serial, as read from its label: case, spaces and dashes don't matter.",
    "label": "The serial that was asked about, where nothing is recorded of such a board.",
    "unit": "The unit's serial, as read from its plate: case, spaces and dashes don't matter.",
    "into": "The plate serial that the maker issued for the unit as it is now.",
    "role": "The role of the place. Left out, it is the board's own.",
    "place": "The place, where the role has several equal ones (left, right).",
    "part": "The board's order number. Left out, it is the one that the label or the ledger tells.",
    "release": "The name of the software release on the board.",
    "binding": "Its binding, as it was read.",
    "bound_model": "The model that it is bound to.",
    "holds": "The unit serial that it holds; an empty text where it holds none.",
    "model": "The unit's model. Left out, it is the one that the ledger or the plate tells.",
    "market": "Where the unit is used.",
    "made_on": "The day on which the unit was made.",
    "boards": "The boards that sit in the unit.",
    "introduced": "Whether it is introduced to the board in the unit that carries the serial.",
    "naming": "The board in the unit that carries the serial. Left out, it is the one recorded there.",
    "recorded": "Where the serial of the board that came out could not be read: the board that was recorded "
    "there. Left out, it is the one that the ledger tells.",
    "kept": "Whether the board stayed with us; left out, it did.",
    "was": "Where it was recorded before. Left out, it is the place that the ledger tells.",
    "in_custody": "Whether the board is in the shop now.",
    "step": "The step.",
    "accessory": "Which accessory.",
    "amount": "How many of it are fitted now.",
    "passed": "Whether it passed.",
    "to": "What it was exposed to.",
    "certain": "Whether that is certain; left out, it is.",
    "hold": "What is held against it.",
    "placed": "The number of the event that placed the hold.",
    "confirmed_by": "Who confirmed that it is gone.",
    "evidence": "How that is known: a number, a letter, a call. No personal data.",
    "check": "The id of the sale check.",
    "customer": "The customer's reference in another system. No name, no address, no personal data.",
    "withdraws": "The number of the event that is withdrawn.",
    "reason": "Why. No personal data.",
}

EXAMPLES: Mapping[str, object] = {
    "board": "TBM4124382004F",
    "unit": "TMPL23140032M",
    "role": "main",
    "part": "MN-4100",
    "release": "1.1.0",
    "bound_model": "plover-40",
    "model": "plover-40",
    "market": "mainland",
    "made_on": "2024-05-31",
    "accessory": "battery_pack",
    "amount": 1,
    "reason": "the label was misread",
}

WORDS: Mapping[str, Mapping[str, str]] = {
    "step": STEPS,
    "hold": HOLDS,
    "to": CAUSES,
    "confirmed_by": CONFIRMED_BY,
}
"""Meanings of the choices of a field, where the choices are not a set that other documents share."""
