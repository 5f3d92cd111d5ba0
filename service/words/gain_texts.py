"""What is said of gains, and of the shipping of packs. Figures are told as about as much as a customer can use;
the exact ones stand beside."""

from __future__ import annotations

from collections.abc import Mapping

MORE_MINUTES = "It mows about {minutes} minutes longer on one charge."
MORE_AREA = "It mows about {area} m² more a day."
MORE_ENERGY = "It has {energy} Wh more on board."
"""Of these, the first that the numbers are known for."""

FIGURE_MEANINGS: Mapping[str, str] = {
    "energy_wh": "watt-hours of all packs: volts by ampere-hours",
    "run_minutes": "minutes of mowing on one charge",
    "charge_minutes": "minutes at the station after one charge is used up",
    "mowing_minutes_a_day": "minutes of mowing within the hours that are allowed",
    "cycles_a_day": "how many times a day the packs are used up",
    "area_m2_a_cycle": "square metres that the blades pass over on one charge",
    "area_m2_a_day": "square metres that the blades pass over in a day; lawn passed over twice counts twice",
}

SHIPPING: Mapping[str, str] = {
    "eased": "Each {accessory} holds {energy} Wh, within the limits of the eased rules ({edition}).",
    "full": "Each {accessory} holds {energy} Wh, over a limit: it is dangerous goods of class 9 ({edition}).",
    "unknown": "Each {accessory} holds {energy} Wh; how it may be shipped is not known.",
}
"""By shipping class."""
CHECK_RULES = "Check the rules in force before it is shipped."
EDITIONS: Mapping[str, str] = {"ADR_2025": "ADR 2025, special provision 188, a and b"}
"""By the name of an edition of the rules, with its source."""
CLASS_MEANINGS: Mapping[str, str] = {
    "eased": "at most the limits for cells and batteries, both",
    "full": "over one of them: dangerous goods of class 9",
    "unknown": "its watt-hours, those of its cells, or rules of that day are not known",
}
