"""The demo's world, as the tests of the API see it."""

from __future__ import annotations

from tests.api.demo_app import client, demo_app, demo_engine, demo_file

__all__ = ["client", "demo_app", "demo_engine", "demo_file"]
