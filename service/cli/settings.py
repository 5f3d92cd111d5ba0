"""`settings`: what is in force, and where each value comes from."""

from __future__ import annotations

import argparse
import os

from service.settings import SETTINGS_FILE, Settings, in_force


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = "Show every setting with its value and where it was told; secrets are masked."
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:  # noqa: ARG001 - called like every command
    """Print a line for each setting."""
    rows = in_force(os.environ).rows()
    widths = [max(len(row[at]) for row in rows) for at in (0, 1)]
    for name, value, told_in in rows:
        print(f"{name:{widths[0]}}  {value:{widths[1]}}  {told_in}")
    print(f"{SETTINGS_FILE} names a settings file: {os.environ.get(SETTINGS_FILE, 'none')}")
    return 0
