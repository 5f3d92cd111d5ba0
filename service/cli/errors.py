"""An error of use: one clear line, and exit status 2."""

from __future__ import annotations


class UsageError(Exception):
    """What the person at the terminal has to change. The message is that one line."""
