"""Sets of ranks as bit masks. Bit r of a mask says: rank r is possible.

A world's rank is the least rank of its boards (`domain.rules`), and boards vary independently
within a hub, so the ranks that a hub's worlds can have are folded from the masks of its places.
"""

from __future__ import annotations

from service.domain.rules import FITS, FITS_WITH_TOOL, OUT_OF_SCOPE

NO_MASK = (1 << OUT_OF_SCOPE) - 1
"""All ranks that are a failing rule."""
SCOPE_MASK = 1 << OUT_OF_SCOPE
TOOL_MASK = 1 << FITS_WITH_TOOL
FITS_MASK = 1 << FITS
YES_MASK = TOOL_MASK | FITS_MASK


def least(one: int, other: int) -> int:
    """The possible minimums of two independent ranks: all that are possible and not above both highest.

    INVARIANT: least is associative and commutative, `FITS_MASK` is its unit, and 0 (no world) absorbs.
    """
    top = min(one.bit_length(), other.bit_length())
    return (one | other) & ((1 << top) - 1)


def classes(mask: int) -> int:
    """The set of outcomes behind a set of ranks: which rule fails is no difference here."""
    return (mask & ~NO_MASK) | bool(mask & NO_MASK)
