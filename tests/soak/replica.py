"""A read replica: a second PostgreSQL that follows the first, and a service on it that can only be asked.

What it answers is compared with what the service on the first answers, and how far it is behind is measured.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from statistics import median

from tests.endurance.asking import Client, Write, event
from tests.endurance.serving import Served, served
from tests.soak import asks
from tests.soak.figures import quantile
from tests.soak.load import as_fast_as_it_goes
from tests.soak.running import a_served_shop
from tests.soak.saturation import WARM, Place, fits, told, weighed
from tests.support.postgres import postgres, standby

WRITES = 60
PATIENCE = 30.0
SECONDS = 4.0


def main() -> int:
    """Measure it; 0 where all is as it should be."""
    argparse.ArgumentParser(prog="python -m tests.soak.replica", description=__doc__).parse_args()
    with tempfile.TemporaryDirectory(prefix="boardfit-replica-") as name:
        found = measured(Path(name))
    print("\n".join(found))
    return 0


def measured(folder: Path) -> Sequence[str]:
    """The figures. Raises AssertionError where the replica does not do what it is there for."""
    (folder / "replica").mkdir()
    with (
        postgres(durable=True) as first,
        a_served_shop(first.url, folder) as shop,
        standby(first) as second,
        served(second.url, folder / "replica") as replica,
    ):
        behind = sorted(lag(shop.server, replica, number) for number in range(WRITES))
        same = sum(alike(shop.server, replica, ask.target) for ask in asks.BY_SERIAL)
        assert same == len(asks.BY_SERIAL), f"{len(asks.BY_SERIAL) - same} answers are not those of the first"
        with closing(Client(replica.port)) as client:
            refused = client.record(written(WRITES))
        assert (refused.status, "Retry-After" in refused.headers) == (503, True)
        as_fast_as_it_goes(replica.port, fits(), 8, WARM)
        _, cost = weighed(Place(replica, second.pid), fits(), SECONDS)
    return (
        f"all of {same} answers are those of the first, a write is a 503 with Retry-After",
        f"behind by {median(behind) * 1000:.0f} ms (median), {quantile(behind, 0.95) * 1000:.0f} (p95)",
        f"fit: {told(cost)}",
    )


def written(number: int) -> Write:
    body = {"events": [event("received", board=f"REPLICA{number}", part="MN-4100", binding="blank")]}
    return Write(f"replica-{number:06d}", json.dumps(body).encode())


def lag(first: Served, replica: Served, number: int) -> float:
    """Seconds from the acknowledgement of a write until the replica knows of it."""
    with closing(Client(first.port)) as there, closing(Client(replica.port)) as here:
        answer = there.record(written(number))
        assert answer.status == 201, answer.body
        began = time.monotonic()
        while not here.get(f"/v1/events?after={answer.json()['events'][0]['seq'] - 1}").json()["items"]:
            assert time.monotonic() - began < PATIENCE, "the replica does not follow"
        return time.monotonic() - began


def alike(first: Served, replica: Served, target: str) -> bool:
    """Whether both answer the same."""
    with closing(Client(first.port)) as there, closing(Client(replica.port)) as here:
        return there.get(target).body == here.get(target).body


if __name__ == "__main__":
    sys.exit(main())
