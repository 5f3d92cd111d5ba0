"""What the server itself logs: its own course, and no requests, each of which has a line already
(`api/seeing/log.py`)."""

from __future__ import annotations

from gunicorn.glogging import Logger  # type: ignore[import-untyped] # the library carries no types


class Course(Logger):  # type: ignore[misc] # the library carries no types
    """The server's logger. Told how to log, the library's own would take each request to be logged too, and
    make up a line that nobody reads."""

    access_log_enabled = False
