"""The log: a line of JSON for each request and for each fault, written at once.

It holds no secret, no address, no body, and no serial in full. What this service logs itself names no serial;
what others put into their messages (a database into its errors, a server into what it could not read) goes
through `hushed`.
"""

from __future__ import annotations

import logging
import os
import re
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

import orjson

from service.api.seeing.seen import Seen

Write = Callable[[bytes], object]
STANDARD_ERROR = 2

LEVELS = ("info", "warning", "error")
"""The least that is told: everything, what went wrong, what went wrong here."""

_KEY = re.compile(r"bfk_\w+", re.ASCII)
_SERIAL = re.compile(
    r"""(?<![A-Za-z0-9])
    (?:
        (?=(?:[A-Za-z]*[0-9]){5}) [A-Za-z0-9]{7,}
        | (?! [0-9]{4}-[0-9]{2}-[0-9]{2} )
          (?=(?:[A-Z -]*[0-9]){5}) (?=(?:[ -]?[A-Z0-9]){7}) [A-Z0-9]+ (?:[ -][A-Z0-9]+)+
    )
    (?![A-Za-z0-9])""",
    re.VERBOSE,
)
"""Seven letters and digits or more, five digits among them, in one piece or in groups, but no date."""


def hushed(text: str) -> str:
    """A text of others without keys, and with the middle of everything that might be a serial left out."""
    # What cannot be written as UTF-8 would else end the line, and be told by the library in its own way.
    written = text.encode("utf-8", "backslashreplace").decode("utf-8")
    return _SERIAL.sub(lambda found: f"{found[0][:3]}…{found[0][-2:]}", _KEY.sub("bfk_…", written))


class RequestLog:
    """Writes a line for each request."""

    def __init__(self, write: Write, level: str) -> None:
        self._write = write
        self._told = LEVELS[LEVELS.index(level) :]

    def tell(self, seen: Seen, status: str, seconds: float, revision: str | None) -> None:
        """Write the line of one request, if it is one that is told."""
        level = _level(status)
        if level not in self._told:
            return
        line: dict[str, Any] = {
            "time": datetime.now(UTC),
            "level": level,
            "request": seen.request_id,
            "key": seen.key_id,
            "operation": seen.operation,
            "status": int(status),
            "ms": round(seconds * 1000, 2),
            "outcome": seen.outcome,
            "cause": seen.cause,
            "problem": seen.problem,
            "revision": revision,
        }
        if seen.trace is not None:
            line |= {"trace": seen.trace.id, "span": seen.trace.span, "parent": seen.trace.parent}
            line |= {"trace_state": seen.trace.state} if seen.trace.state else {}
        self._write(_line(line))


def _level(status: str) -> str:
    """A refusal is the caller's affair; what is the database's passes; the rest is ours."""
    if status[0] != "5":
        return LEVELS[0]
    return LEVELS[1] if status == "503" else LEVELS[2]


def _line(members: dict[str, Any]) -> bytes:
    return orjson.dumps(members, option=orjson.OPT_UTC_Z | orjson.OPT_APPEND_NEWLINE)


def to_standard_error(line: bytes) -> None:
    """Write a line in one piece, so that those of several processes do not mix. A log that cannot be written
    keeps nobody from an answer."""
    with suppress(OSError):
        os.write(STANDARD_ERROR, line)


class Formatter(logging.Formatter):
    """A line of JSON for a record of the standard library's logging: our own faults, and the server's."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, Any] = {
            "time": datetime.fromtimestamp(record.created, UTC),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": hushed(record.getMessage()),
        }
        line |= {name: value for name, value in vars(record).items() if name in _OUR_MEMBERS}
        if record.exc_info:
            line["trace_back"] = hushed(self.formatException(record.exc_info))
        return _line(line).decode().rstrip("\n")


_OUR_MEMBERS = ("request", "key", "operation")
"""What our own records carry besides, as `extra`."""


def configuration(level: str) -> dict[str, Any]:
    """For `logging.config.dictConfig`: every record to standard error, as a line of JSON."""
    to_lines = {"level": level.upper(), "handlers": ["lines"], "propagate": False}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"lines": {"()": Formatter}},
        "handlers": {
            "lines": {
                "class": "logging.StreamHandler",
                "formatter": "lines",
                "stream": "ext://sys.stderr",
            }
        },
        "loggers": {"boardfit": to_lines, "gunicorn.error": to_lines},
        "root": {"level": "WARNING", "handlers": ["lines"]},
    }
