"""Fixtures of the contract's tests."""

from __future__ import annotations

from tests.api.demo_app import client, demo_app, demo_engine, demo_file, postgres_demo_app

__all__ = ["client", "demo_app", "demo_engine", "demo_file", "postgres_demo_app"]
