"""Check character systems by name: published arithmetic, as pure functions.

A scheme names one of `SYSTEMS`, says over which of its fields it runs and where the check
characters stand. Where a maker may choose: ISO/IEC 7064 MOD 37-2 (digits and letters) and MOD
11-2 (digits) catch every single wrong character and every swap of two neighbours; Luhn and GS1
do not (the tests hold the counts).
"""

from __future__ import annotations

from collections.abc import Mapping

from service.domain.serials.check import iso7064, tabled, weighted
from service.domain.serials.check.system import ALPHANUMERIC, DIGITS, LETTERS, CheckSystem

SYSTEMS: Mapping[str, CheckSystem] = {
    system.name: system for system in (*weighted.SYSTEMS, *iso7064.SYSTEMS, *tabled.SYSTEMS)
}

__all__ = ["ALPHANUMERIC", "DIGITS", "LETTERS", "SYSTEMS", "CheckSystem"]
