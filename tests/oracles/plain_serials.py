"""The unit serials of the generated catalogues, written and read by their three fields.

Two fixed letters, a product code of two characters, a running number of four digits that is the
order key. The oracles need no more of serial schemes than this; schemes have tests of their own.
"""

from __future__ import annotations

from tests.oracles.world import Document

PREFIX = "TK"
BOARD_PREFIX = "BRD"
NO_LAYOUT = "WHO-KNOWS-7"
"""A serial of no scheme here."""


def unit_scheme(codes: dict[str, list[str]]) -> Document:
    """The scheme, given the models that each product code may stand for."""
    return {
        "id": "generated-unit",
        "name": "plate serial",
        "subject": "unit",
        "fields": [
            {"name": "maker", "kind": "text", "text": PREFIX},
            {"name": "product", "kind": "code", "only": sorted(codes)},
            {"name": "number", "kind": "sequence", "length": 4},
        ],
        "order": ["number"],
        "models": [{"when": {"product": code}, "models": models} for code, models in codes.items()],
    }


def board_scheme() -> Document:
    return {
        "id": "generated-board",
        "name": "board serial",
        "subject": "board",
        "fields": [
            {"name": "maker", "kind": "text", "text": BOARD_PREFIX},
            {"name": "number", "kind": "sequence", "length": 5},
        ],
    }


def codes_of(document: Document) -> dict[str, list[str]]:
    """Product code to models, as the document's scheme for units says."""
    scheme = next(each for each in document["schemes"] if each["subject"] == "unit")
    return {row["when"]["product"]: list(row["models"]) for row in scheme["models"]}


def written(document: Document, model: str, key: int) -> str:
    """A serial of a unit of this very model with this order key."""
    code = next(code for code, models in codes_of(document).items() if models == [model])
    return f"{PREFIX}{code}{key:04d}"


def models_of(document: Document, serial: str) -> frozenset[str] | None:
    """The models that a serial can be of; None where it is of no scheme."""
    code, number = serial[2:4], serial[4:]
    if not serial.startswith(PREFIX) or len(serial) != 8 or not number.isdigit():
        return None
    models = codes_of(document).get(code)
    return frozenset(models) if models else None


def key_of(serial: str) -> int:
    return int(serial[4:])


def break_keys(document: Document) -> dict[str, int]:
    """The order key of every serial that stands in a break of the document."""
    rows = [row for part in document["parts"] for row in part.get("fits", [])]
    serials = {row[end] for row in rows for end in ("serial_from", "serial_before") if end in row}
    return {serial: key_of(serial) for serial in serials}
