"""`python -m tests.bench [NAME …]`: measure one thing, or all of them."""

from __future__ import annotations

import argparse

from tests.bench.measures import MEASURES


def main() -> None:
    """Run the measures that are named, else all."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(MEASURES))
    given = parser.parse_args()
    unknown = [name for name in given.names if name not in MEASURES]
    if unknown:
        parser.error(f"no measure {unknown[0]}; there are {', '.join(MEASURES)}")
    for name in given.names or MEASURES:
        print(f"== {name}: {(MEASURES[name].__doc__ or '').splitlines()[0]}", flush=True)
        for line in MEASURES[name]():
            print(f"   {line}", flush=True)


if __name__ == "__main__":
    main()
