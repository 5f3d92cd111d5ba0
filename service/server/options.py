"""What gunicorn is told: the same by `python -m service serve` and by its own command."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import Any

from service.api.seeing.log import configuration
from service.server import together
from service.server.memory import keep_together
from service.server.silence import give_up_the_silent
from service.server.stopping import leave_at_once, stop_in_order
from service.settings import Settings

MEMORY = Path("/dev/shm")  # noqa: S108 - a heartbeat file in memory: a slow disk must not look like a dead worker

GRACEFUL_SECONDS = 25
"""What runs when the listener closes has so long to finish: less than the 30 s after which it is killed."""


def options(settings: Settings) -> dict[str, Any]:
    """The server's own settings, by its names for them."""
    prepare_to_stop = stop_in_order(settings.drain_seconds)

    def on_starting(server: Any) -> None:
        keep_together()
        together.prepare(server)

    def when_ready(server: Any) -> None:
        give_up_the_silent(server)
        prepare_to_stop(server)

    def on_exit(server: Any) -> None:
        together.tidy(server)
        leave_at_once()

    return {
        "bind": f"{settings.host}:{settings.port}",
        "worker_class": "gthread",
        "workers": settings.workers,
        "threads": settings.threads,
        "timeout": 60,
        "graceful_timeout": GRACEFUL_SECONDS,
        # Workers are replaced now and then, not all at once, so that a slow leak never becomes a fault.
        "max_requests": 100_000,
        "max_requests_jitter": 20_000,
        "control_socket_disable": True,
        "preload_app": False,
        "on_starting": on_starting,
        "when_ready": when_ready,
        # What is made at the start stays: to look through it for what can go would hold answers up.
        "post_worker_init": lambda _worker: gc.freeze(),
        "worker_exit": lambda _server, _worker: leave_at_once(),
        "on_exit": on_exit,
        "loglevel": settings.log_level,
        "logconfig_dict": configuration(settings.log_level),
        "logger_class": "service.server.course.Course",
        **({"worker_tmp_dir": str(MEMORY)} if MEMORY.is_dir() else {}),
    }
