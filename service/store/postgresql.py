"""Engines for PostgreSQL: nothing that they ask or wait for lasts without end."""

from __future__ import annotations

from sqlalchemy import URL, Engine, create_engine, event

from service.store.dialling import Dialling, dialled

STATEMENT_TIMEOUT_MS = 10_000

CONNECT_SECONDS = 5
"""How long PostgreSQL may take to let a new connection in."""

VANISHED = {
    "keepalives_idle": 5,
    "keepalives_interval": 2,
    "keepalives_count": 3,
    "tcp_user_timeout": 5_000,
}
"""When a host that is not there any more is given up (parameters of libpq): by default after hours.

A host that is there takes note of what it is sent at once, however long its answer takes.
"""

LEFT = {"tcp_keepalives_idle": 5, "tcp_keepalives_interval": 2, "tcp_keepalives_count": 3}
"""The same for the server, which takes so many sessions and no more (settings of PostgreSQL)."""


def postgresql_engine(url: URL, *, pool_size: int, lock_timeout_ms: int) -> Engine:
    """An engine whose statements wait so long for the locks of others."""
    timeouts = {"statement_timeout": STATEMENT_TIMEOUT_MS, "lock_timeout": lock_timeout_ms}
    settings = {**timeouts, **LEFT, "timezone": "UTC"}
    engine = create_engine(
        url,
        connect_args={
            "options": " ".join(f"-c {name}={value}" for name, value in settings.items()),
            "application_name": "boardfit",
            "connect_timeout": CONNECT_SECONDS,
            **VANISHED,
        },
        hide_parameters=True,
        pool_pre_ping=True,
        pool_size=pool_size,
        max_overflow=pool_size,
    )
    event.listen(engine, "do_connect", dialled(Dialling()))
    return engine
