"""Serials of the demo's world that texts, examples and tests call by name, and how the others are made.

A constant's name tells its story, which `stories` writes down as events.
"""

from __future__ import annotations

from typing import Final

from service.domain.serials.check import SYSTEMS
from service.domain.terms import Serial

# Customers' units, of which nothing is recorded but that they exist.
CUSTOMER_WREN_4: Final = Serial("TMWA22450871E")
CUSTOMER_WREN_8: Final = Serial("TMWB215004026")
CUSTOMER_CURLEW_12: Final = Serial("TMCL213702033")
CUSTOMER_CURLEW_20: Final = Serial("TMCM22201410S")
CUSTOMER_CURLEW_20_A: Final = Serial("TMCM23086022C")
CUSTOMER_CURLEW_EITHER: Final = Serial("TMCM24317511E")
"""Its serial can be of a Curlew 20 and of a Curlew 20 A."""
CUSTOMER_PLOVER_40: Final = Serial("TMPL23140032M")
CUSTOMER_PLOVER_60: Final = Serial("TMPM24090012Y")
ISLES_CURLEW_12: Final = Serial("TMCL231103188")
"""Sold in the Isles, the others on the Mainland."""
RENTAL_RAIL_1: Final = Serial("TMRA13220077P")
"""Of the family that the catalogue does not cover."""

# Units with a history.
DISAGREEING_PLOVER_40: Final = Serial("TMPL224000188")
SWAPPED_CURLEW_20: Final = Serial("TMCM23162207L")
BROKEN_OFF_PLOVER_60: Final = Serial("TMPM23440009J")
RENEWED_WREN_8: Final = Serial("TMWB23050640U")
REPORTED_STOLEN_WREN_8: Final = Serial("TMWB22300515P")
TWO_PACK_PLOVER_60: Final = Serial("TMPM242100238")
FULLY_RECORDED_PLOVER_60: Final = Serial("TMPM243600316")
WAITING_PLOVER_40: Final = Serial("TMPL22280027Q")
"""Its main board failed its test; it stands on the bench and waits for another."""

# Units that were dismantled; their boards are for sale.
DONOR_PLOVER_60: Final = Serial("TMPM221200046")
DONOR_PLOVER_40: Final = Serial("TMPL213300125")
DONOR_CURLEW_20: Final = Serial("TMCM21270905D")
DONOR_CURLEW_12: Final = Serial("TMCL20180096G")
DONOR_WREN_8: Final = Serial("TMWB20240233F")

# Boards out of those.
USED_MAIN_60: Final = Serial("TBM4122080117X")
USED_PANEL_60: Final = Serial("TBN2422070060B")
USED_MAIN_40: Final = Serial("TBM4121290903N")
USED_PANEL_40: Final = Serial("TBN2421280044G")
USED_MAIN_20: Final = Serial("TBM41212207114")
MATCHED_MAIN_12: Final = Serial("TBM4120120390D")
MATCHED_PANEL_12: Final = Serial("TBN2120110275E")
"""Introduced to MATCHED_MAIN_12 by the factory."""
USED_MAIN_WREN_8: Final = Serial("TBM4120190520N")

# New boards in their boxes.
BLANK_MAIN: Final = Serial("TBM4124382004F")
BLANK_PANEL_21: Final = Serial("TBN2121500622Q")
BLANK_PANEL_22: Final = Serial("TBN2224370815F")
BLANK_PANEL_2W: Final = Serial("TBN2W24300137J")
"""The Wren 4's, which looks like BLANK_PANEL_22."""
BLANK_PANEL_24: Final = Serial("TBN2424350091K")

# Boards with a history.
USED_MAIN_UNKNOWN: Final = Serial("TBM4119400066C")
"""Used; for which model, nobody has read yet."""
EXPOSED_MAIN_40: Final = Serial("TBM4122361207X")
MAYBE_EXPOSED_POSITION: Final = Serial("TBS3123020210D")
CONTRADICTORY_MAIN: Final = Serial("TBM41214510107")
"""Read out twice, with two models."""
FOREIGN_MAIN_60: Final = Serial("TBM4123120510F")
"""A Plover 60's, fitted into DISAGREEING_PLOVER_40."""
PANEL_NOT_INTRODUCED: Final = Serial("TBN2223210333S")
"""Fitted into SWAPPED_CURLEW_20."""
BROKEN_OFF_MAIN: Final = Serial("TBM4124060151M")
"""Programming it in BROKEN_OFF_PLOVER_60 broke off."""
STILL_NEEDED_MAIN: Final = Serial("TBM4123030840B")
"""Out of RENEWED_WREN_8, which is in service, and whose serial it holds still."""
STOLEN_MAIN: Final = Serial("TBM41231904329")
LOCKED_PANEL_60: Final = Serial("TBN2423240071U")
RECALLED_LIFT: Final = Serial("TBL72234100284")
FAILED_RADIO: Final = Serial("TBR5122140309S")
SCRAPPED_MAIN: Final = Serial("TBM4118090015J")
UNMARKED_BUMPER: Final = Serial("TBB6019260058Z")
"""Its serial can be of two parts."""


def unit_serial(product: str, year: int, week: int, number: int) -> Serial:
    """A plate serial of the demo's maker, `year` in full."""
    return _checked(f"TM{product}{year % 100:02d}{week:02d}{number:04d}")


def board_serial(product: str, year: int, week: int, number: int) -> Serial:
    """A board's serial of the demo's maker, `year` in full."""
    return _checked(f"TB{product}{year % 100:02d}{week:02d}{number:04d}")


def _checked(body: str) -> Serial:
    return Serial(body + SYSTEMS["iso-7064-mod-37-2"].compute(body))
