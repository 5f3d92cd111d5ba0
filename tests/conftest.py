"""Fixtures of several parts of the suite, and how property tests run: the same cases every time."""

from __future__ import annotations

from hypothesis import settings

pytest_plugins = ["tests.support.databases", "tests.support.demo_copies", "tests.api.demo_app"]

settings.register_profile("plain", derandomize=True, deadline=None, database=None)
settings.load_profile("plain")
