"""Reading NDJSON: on each line one JSON object, whose members are the columns."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

import orjson

from service.files.lines import Line, is_blank
from service.files.rows import Flaw, Naming, Row, Unusable


class NotJson(ValueError):
    """A text that is no JSON, or says a thing twice. The message says where."""


def ndjson_rows(lines: Iterable[Line], naming: Naming) -> Iterator[Row | Flaw]:
    """The rows. Each line names its columns itself, so a wrong name is a flaw of its line."""
    for line in lines:
        if line.flaw:
            yield Flaw(line.number, "", line.flaw)
        elif not is_blank(line):
            yield _row(line, naming)


def json_value(text: str) -> Any:
    """The value of a JSON text (RFC 8259), and nothing that two readers would take differently.

    Raises NotJson.
    """
    try:
        value = orjson.loads(text)
        # The fast reader keeps the last of equal members without a word; this one tells.
        json.loads(text, object_pairs_hook=_once)
    except orjson.JSONDecodeError as error:
        raise NotJson(f"no JSON at character {error.pos + 1}: {error.msg}") from None
    except RecursionError:
        raise NotJson("no JSON that can be read: it is nested too deeply") from None
    return value


def _row(line: Line, naming: Naming) -> Row | Flaw:
    try:
        members = json_value(line.text.rstrip("\r\n"))
        if not isinstance(members, dict):
            return Flaw(
                line.number, "", "no JSON object: write one on each line, with the columns as its members"
            )
        return Row(line.number, dict(_told(zip(naming(list(members)), members.values(), strict=True))))
    except (NotJson, Unusable) as error:
        return Flaw(line.number, "", str(error))


def _told(members: Iterable[tuple[str, Any]]) -> Iterator[tuple[str, Any]]:
    """What says something, text without the blanks around it: as a cell of CSV is read."""
    for name, value in members:
        meant = value.strip() if isinstance(value, str) else value
        if meant is not None and meant != "":
            yield name, meant


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for at, name in enumerate(names) if name in names[:at])
        raise NotJson(f"the member {json.dumps(twice)} stands there twice: say it once")
    return members
