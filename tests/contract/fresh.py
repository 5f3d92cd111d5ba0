"""The document's examples, asked anew in a process of its own."""

from __future__ import annotations

import hashlib

from service.cli.openapi import fresh_examples
from service.settings import Settings


def digest() -> str:
    """A hash of all answers that the document shows."""
    return hashlib.sha256(fresh_examples(Settings()).encode()).hexdigest()
