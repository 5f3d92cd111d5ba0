"""Tills that ask and record while hosts are restarted and killed."""

from __future__ import annotations

import json
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime
from http.client import HTTPException
from threading import Event

from database import DATABASE, Place
from front import Front, asked
from showing import must
from sqlalchemy import text

from service.store.engine import open_engine, reading
from tests.endurance.serving import Served

PAUSE = 0.15
"""Between a client's requests: together they keep within the rate of the demo's key."""


@dataclass
class Load:
    """What became of the requests of some clients."""

    asked: int = 0
    recorded: list[int] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)


def load(front: Front, name: str, stop: Event) -> Load:
    """Ask and record on one connection until told to stop, as a till does."""
    found, connection, number = Load(), front.connect(), 0
    while not stop.is_set():
        number += 1
        time.sleep(PAUSE)
        board = f"{name}-{number}"
        events = {"events": [{"kind": "received", "data": {"board": board, "part": "LM-9100"}}]}
        for path, body in (("/v1/models", None), ("/v1/events", events)):
            try:
                key = {"Idempotency-Key": board} if body else {}
                status, _, told = asked(connection, path, body, key)
            except (OSError, HTTPException) as error:
                status, told = 0, repr(error).encode()
                connection.close()
                connection = front.connect()
            found.asked += 1
            if status not in (200, 201):
                found.failed.append(f"{path}: {status} {told[:200]!r}")
            elif body:
                found.recorded.append(json.loads(told)["events"][0]["seq"])
    connection.close()
    return found


def restart(place: Place, front: Front, servers: tuple[Served, ...]) -> None:
    """One host after the other is restarted, then one is killed, and no client hears of it."""
    stop, began = Event(), datetime.now(UTC)
    with ThreadPoolExecutor(4) as pool:
        loads = [pool.submit(load, front, f"TILL-{number}", stop) for number in range(4)]
        try:
            for server in servers:
                time.sleep(1)
                server.stop()
                time.sleep(3)
            servers[0].kill_all()
            time.sleep(3)
        finally:
            stop.set()
        found = [each.result() for each in loads]
    failed = [each for one in found for each in one.failed]
    count = sum(one.asked for one in found)
    must(not failed, f"none of {count} requests is lost while hosts are restarted and killed {failed[:3]}")
    recorded = sorted(number for one in found for number in one.recorded)
    engine = open_engine(place.server.url.replace("/postgres?", f"/{DATABASE}?"))
    with reading(engine) as connection:
        chosen = text("SELECT seq FROM events WHERE recorded_at >= :since AND kind = 'received' ORDER BY seq")
        kept = list(connection.execute(chosen, {"since": began}).scalars())
    must(kept == recorded, f"each of {len(recorded)} writes is recorded once")
    engine.dispose()
