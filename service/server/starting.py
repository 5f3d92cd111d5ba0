"""The settings of a process that another program starts: faults are told, and not traced back."""

from __future__ import annotations

import os
import sys

from service.settings import Settings, SettingsError, from_environment

CANNOT_START = 3
"""The exit status of a worker that gunicorn does not start again and again."""


def settings() -> Settings:
    """The settings of the environment; the process ends where they have faults."""
    try:
        return from_environment(os.environ)
    except SettingsError as error:
        sys.stderr.write(f"error: {error}\n")
        # Servers catch what an import raises and show where it was raised, but for this.
        sys.exit(CANNOT_START)
