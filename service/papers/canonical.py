"""The one form in which a document's content is stored and told apart, and the revision that names it.

Fields stand in the order of the format. A field that says its default is left out, so that stating it makes
no other content, and so that a field added to the format later changes no revision that exists. Entries
(roles, models, parts …) stay in the order of the file, because answers list them in that order.
"""

from __future__ import annotations

import hashlib
import json
from datetime import date
from decimal import Decimal
from typing import Any

from service.papers.draft import Draft
from service.papers.format_one import DOCUMENT
from service.papers.shapes.containers import Many, Named, Record, Table
from service.papers.shapes.context import Shape


def canonical(draft: Draft) -> str:
    """JSON without blanks, of a document without faults; it is a catalogue file as well."""
    return json.dumps(_content(draft, DOCUMENT), separators=(",", ":"), ensure_ascii=False)


def revision_of(document: str) -> str:
    """`r-` and the first 16 hex digits of the SHA-256 of the canonical document."""
    return f"r-{hashlib.sha256(document.encode()).hexdigest()[:16]}"


def _content(value: Any, shape: Shape) -> Any:
    match shape:
        case Record(entries=entries):
            stated = (
                name for name, entry in entries.items() if entry.required or value[name] != entry.default
            )
            return {name: _content(value[name], entries[name].shape) for name in stated}
        case Named(by=by, record=record):
            content = _content(value, record)
            return content[by] if len(content) == 1 else content
        case Table(value=inner_shape):
            return {key: _content(inner, inner_shape) for key, inner in value.items()}
        case Many(item=item):
            return [_content(inner, item) for inner in value]
        case _:
            return _scalar(value)


def _scalar(value: Any) -> Any:
    if isinstance(value, Decimal):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value
