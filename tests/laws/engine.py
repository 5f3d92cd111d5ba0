"""The one door through which the laws ask the service; nothing else here imports it.

`ask_engine` takes plain documents and gives a plain answer, so that an oracle and the service can be
compared without sharing a single type.
"""

from __future__ import annotations

from typing import Any

from tests.oracles.world import Document

READY = False
"""Whether `ask_engine` asks the service yet."""

RULE_OF_CODE: dict[str, int] = {}
"""The number of the rule that each reason code belongs to."""


def ask_engine(catalogue: Document, question: Document, records: Document) -> dict[str, Any]:
    """Ask the service.

    `catalogue` is a document of format 1, `question` the body of a fit check, `records` what
    `tests.oracles.statements` describes. The answer:

    - `fit`, `programming`, `outcome`, and `cause` (None where the fit is known);
    - `deciding`: the deciding reasons as a sorted list of [code, place], the place as `main` or
      `bumper.left`, and the empty text for what concerns the unit;
    - `ask`: the fact to find out next at the bench (`unit.model`, `unit.serial`, `unit.made_on`,
      `unit.market`, or a place with `.part`, `.binding`, `.holds`, `.condition` or `.introduced`), or None;
    - `chain`: the whole chain of questions as the service gives it.
    """
    raise NotImplementedError
