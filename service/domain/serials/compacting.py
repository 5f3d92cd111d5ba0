"""Typed or scanned text to the compact form of a serial, the way labels are read."""

from __future__ import annotations

import unicodedata
from string import ascii_lowercase, ascii_uppercase

from service.domain.terms import Serial

_SEPARATING = frozenset({"Pd", "Zs", "Zl", "Zp", "Cc", "Cf"})
"""Categories of Unicode that only separate: dashes, spaces, line ends, control and format characters."""
_SEPARATORS = "./_\N{MIDDLE DOT}\N{MINUS SIGN}"
_WIDE = range(0xFF01, 0xFF5F)
"""Full-width forms, which some keyboards and scanners give; ASCII stands 0xFEE0 lower."""


class _Table(dict[int, int | None]):
    """What each character becomes; None is dropped, and what is not listed is looked at once."""

    def __missing__(self, code: int) -> int | None:
        if code in _WIDE:
            narrow = code - 0xFEE0
            return self.get(narrow, narrow)
        return None if unicodedata.category(chr(code)) in _SEPARATING else code


_TABLE = _Table(str.maketrans(ascii_lowercase, ascii_uppercase, _SEPARATORS))
_TABLE.update(
    {
        code: None if unicodedata.category(chr(code)) in _SEPARATING else code
        for code in range(128)
        if code not in _TABLE
    }
)


def compact(text: str) -> Serial:
    r"""The text without what only groups it, in upper case. Compacting twice changes nothing.

    Look-alikes (O and 0, I and 1) stay: which of the two is meant hangs on the scheme.

    >>> compact(" 35-209900-176148/1 "), compact("csqu\N{EN DASH}305438.3")
    ('352099001761481', 'CSQU3054383')
    """
    return Serial(text.translate(_TABLE))
