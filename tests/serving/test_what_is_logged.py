"""A request has one line in the log: the service's own."""

from __future__ import annotations

from gunicorn.config import Config  # type: ignore[import-untyped] # the library carries no types

from service.server.options import options
from service.settings import Settings


def test_the_server_makes_up_no_line_of_its_own() -> None:
    """The library's own logger would take it as asked for, since it is told how to log."""
    told = Config()
    for name, value in options(Settings()).items():
        told.set(name, value)
    library = Config().logger_class(told)
    assert library.access_log_enabled is True
    assert told.logger_class(told).access_log_enabled is False
