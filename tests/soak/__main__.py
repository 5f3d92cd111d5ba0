"""An hour of a shop's whole traffic against real server processes, and whether all is well at its end.

Real workers (`python -m service serve`) on a database that writes in earnest are asked everything that a
shop asks, mistakes included. Measured by windows of five minutes: answers by status, latency, processor time
of a request, memory, open files and connections of the workers. At the end the ledger is checked: every
acknowledged event is there once, the feed missed nothing, the state tables are the fold of the events. Ctrl-C
ends it early, with a report of what was seen. Ends with 0 only when all holds.
"""

from __future__ import annotations

import argparse
import sys

from service.cli.progress import shown
from service.cli.stopping import asked_to_stop
from tests.soak.judging import verdicts
from tests.soak.running import Options, soak
from tests.soak.telling import report


def main() -> int:
    """Run it as the command line says."""
    formatter = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(
        prog="python -m tests.soak", description=__doc__, formatter_class=formatter
    )
    parser.add_argument("--minutes", type=float, default=60.0, help="how long (60)")
    parser.add_argument("--database", choices=("sqlite", "postgresql"), default="sqlite", help="(sqlite)")
    parser.add_argument("--rate", type=float, default=40.0, help="requests a second, of all clients (40)")
    parser.add_argument("--clients", type=int, default=12, help="clients, each with a connection (12)")
    given = parser.parse_args()
    if given.minutes <= 0 or given.rate <= 0 or given.clients < 1:
        parser.error("minutes, rate and clients must be above 0")
    options = Options(
        database=given.database, seconds=given.minutes * 60, rate=given.rate, clients=given.clients
    )
    with asked_to_stop() as stopped, shown("soak", round(options.seconds), quiet=False) as progress:
        outcome = soak(options, progress, stopped)
    found = verdicts(outcome)
    print("\n".join(report(outcome, found)), flush=True)
    return int(any(each.holds is False for each in found))


if __name__ == "__main__":
    sys.exit(main())
