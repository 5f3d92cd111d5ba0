"""All the faults there are."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from tests.soak.faults import clocks, databases, disk, network
from tests.soak.faults.scenes import Fault

_ALL = (
    Fault(name="stopped", what="PostgreSQL is stopped and started", scene=databases.stopped, lasts=6),
    Fault(name="silent", what="PostgreSQL is there and says nothing", scene=databases.silent, lasts=30),
    Fault(name="network", what="the network to PostgreSQL is cut", scene=network.cut, lasts=25),
    Fault(name="relay", what="a proxy before PostgreSQL stands still", scene=network.by_relay, lasts=25),
    Fault(name="disk-sqlite", what="a slow disk under SQLite", scene=disk.under_sqlite, lasts=15),
    Fault(name="disk-postgresql", what="a slow disk under PostgreSQL", scene=disk.under_postgresql, lasts=15),
    Fault(
        name="clock-forwards",
        what="the clock of the service's host jumps forwards",
        scene=partial(clocks.jump, "postgresql", clocks.LONG),
        lasts=6,
    ),
    Fault(
        name="clock-backwards",
        what="the clock of the service's host jumps backwards",
        scene=partial(clocks.jump, "postgresql", -clocks.LONG),
        lasts=6,
    ),
    Fault(
        name="clock-forwards-sqlite",
        what="the same where the database goes by it, too",
        scene=partial(clocks.jump, "sqlite", 1),
        lasts=6,
    ),
    Fault(
        name="clock-backwards-sqlite",
        what="the same where the database goes by it, too",
        scene=partial(clocks.jump, "sqlite", -1),
        lasts=6,
    ),
)
FAULTS: Mapping[str, Fault] = {fault.name: fault for fault in _ALL}
