"""The app of one process of a server: it counts with the others, logs, and knows when to stop."""

from __future__ import annotations

import logging.config

from flask import Flask

from service.api.seeing.log import RequestLog, configuration, to_standard_error
from service.api.seeing.metrics import Metrics
from service.api.seeing.watching import Seeing
from service.server import together
from service.server.stopping import is_stopping
from service.settings import Settings
from service.store.engine import open_engine
from service.wiring import app_on


def served_app(settings: Settings) -> Flask:
    """The app of this process. A folder to count in that is not there yet is a fault of whoever set it."""
    logging.config.dictConfig(configuration(settings.log_level))
    folder = together.folder_of(settings)
    if folder is not None:
        together.count_in(folder)
    seeing = Seeing(metrics=Metrics(folder), log=RequestLog(to_standard_error, settings.log_level))
    engine = open_engine(settings.database_url, pool_size=settings.threads)
    return app_on(engine, settings, stopping=is_stopping, seeing=seeing)
