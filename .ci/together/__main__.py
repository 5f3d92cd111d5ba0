"""What docker/compose.yaml puts together, run without an engine: PostgreSQL, its roles, the migration, two
servers under the role that may not change the ledger, and the proxy with docker/Caddyfile, over TLS.

    python .ci/together CADDY

CADDY is the proxy's program. Ends with 0 when all holds that is told; the last line counts.
"""

from __future__ import annotations

import sys
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory

from database import Place, back_up, make_roles, migrate
from front import be_slow, look_in, proxied
from showing import TOLD
from tills import restart

from tests.endurance.serving import Served
from tests.support.postgres import postgres

DRAIN = "3"


def main(caddy: str) -> None:
    with TemporaryDirectory() as folder, postgres(durable=True) as server, ExitStack() as stack:
        place = Place(Path(folder), server)
        make_roles(place)
        migrate(place)
        settings = place.settings("service")
        password = {name: value for name, value in settings.items() if name.endswith("_FILE")}
        servers = tuple(
            Served(
                settings["BOARDFIT_DATABASE_URL"],
                place.folder / f"{name}.log",
                environment={**password, "BOARDFIT_DRAIN_SECONDS": DRAIN, "BOARDFIT_RATE_STORE": "database"},
            )
            for name in ("one", "other")
        )
        for each in servers:
            stack.callback(each.end)
            each.start()
        with proxied(caddy, place.folder, servers) as front:
            look_in(front)
            be_slow(front)
            restart(place, front, servers)
        back_up(place)
    print(f"all {len(TOLD)} hold")


if __name__ == "__main__":
    main(sys.argv[1])
