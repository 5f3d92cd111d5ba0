"""Fixtures of the API's tests."""

from __future__ import annotations

from tests.api.demo_app import client, demo_app, demo_engine, demo_file
from tests.support.demo_copies import postgres_world, sqlite_world, world, world_app, world_url

__all__ = [
    "client",
    "demo_app",
    "demo_engine",
    "demo_file",
    "postgres_world",
    "sqlite_world",
    "world",
    "world_app",
    "world_url",
]
