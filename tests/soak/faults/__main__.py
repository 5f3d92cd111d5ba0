"""Faults around a service under load, each of which must be told as 503 with Retry-After and pass by itself.

While a fault lasts nobody waits longer than the timeouts say, nothing is a 500; afterwards the same processes
answer again and the ledger is checked. Ends with 0 only when all holds. What this machine does not let us
bring about is said, and counts as not tried.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.soak.faults.every import FAULTS
from tests.soak.faults.network import INSIDE, may_have_networks
from tests.soak.faults.scenes import CannotHappen
from tests.soak.faults.trying import tried


def main() -> int:
    """Try those that are named, else all."""
    formatter = argparse.RawDescriptionHelpFormatter
    names = "\n".join(f"  {name:24} {fault.what}" for name, fault in FAULTS.items())
    parser = argparse.ArgumentParser(
        prog="python -m tests.soak.faults",
        description=__doc__,
        epilog=f"faults:\n{names}",
        formatter_class=formatter,
    )
    parser.add_argument("names", nargs="*", metavar="NAME", help="which; all, where none is named")
    parser.add_argument("--seconds", type=float, help="how long each lasts, instead of its own time")
    given = parser.parse_args()
    if given.seconds is not None and given.seconds <= 0:
        parser.error("seconds must be above 0")
    for name in given.names:
        if name not in FAULTS:
            parser.error(f"no fault {name}; there are {', '.join(FAULTS)}")
    try:
        return max([one(name, given.seconds) for name in given.names or FAULTS], default=0)
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return 130


def one(name: str, seconds: float | None) -> int:
    """Try one; 0 where all is well."""
    if name == "network" and INSIDE not in os.environ and may_have_networks():
        return in_namespace(name, seconds)
    print(f"== {name}: {FAULTS[name].what}", flush=True)
    with tempfile.TemporaryDirectory(prefix="boardfit-fault-") as folder:
        try:
            found = tried(FAULTS[name], Path(folder), seconds)
        except CannotHappen as missing:
            print(f"   not tried: {missing}", flush=True)
            return 0
    print(f"   by: {found.by}\n   {found.told()}", flush=True)
    print("\n".join(f"   WRONG: {each}" for each in found.faults) or "   all is well", flush=True)
    return int(bool(found.faults))


def in_namespace(name: str, seconds: float | None) -> int:
    """Run this command again where no packet of it leaves the machine."""
    how_long = () if seconds is None else ("--seconds", str(seconds))
    command = ("unshare", "--net", sys.executable, "-m", "tests.soak.faults", name, *how_long)
    return subprocess.run(command, env={**os.environ, INSIDE: "yes"}, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
