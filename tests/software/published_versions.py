"""Texts that are versions, texts that are not, and which of two versions is newer.

`data/semver_org_texts.json`: the test list beside the regular expression that semver.org suggests (frequently
asked questions of Semantic Versioning 2.0.0), from memory; two libraries judge all of it in `test_versions`.
"""

from __future__ import annotations

import json
from pathlib import Path

_TEXTS = json.loads((Path(__file__).parent / "data" / "semver_org_texts.json").read_text(encoding="utf-8"))
VALID: list[str] = _TEXTS["valid"]
INVALID: list[str] = _TEXTS["invalid"]

CHAINS = (
    (
        "1.0.0-alpha",
        "1.0.0-alpha.1",
        "1.0.0-alpha.beta",
        "1.0.0-beta",
        "1.0.0-beta.2",
        "1.0.0-beta.11",
        "1.0.0-rc.1",
        "1.0.0",
    ),
    ("1.0.0", "2.0.0", "2.1.0", "2.1.1"),
)
"""Clause 11 of the standard, each older than the next (from memory; both libraries agree)."""
