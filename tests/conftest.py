"""Fixtures of several parts of the suite, and how property tests run: the same cases every time."""

from __future__ import annotations

import os
import sys

from hypothesis import settings

pytest_plugins = ["tests.support.databases", "tests.support.demo_copies", "tests.api.demo_app"]

settings.register_profile("plain", derandomize=True, deadline=None, database=None)
settings.load_profile("plain")

# Where bytecode is not to be written (many an image says so), each of the programs that tests start would
# compile the service anew, which takes longer than what most of them are started for.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False
