"""Measurements as commands: `python -m tests.bench NAME`. They print figures and assert nothing."""
