"""While the database is away everybody is told so soon; afterwards all is as before."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import make_url

from service.store import dialling as dialling_module
from tests.endurance import soundness
from tests.endurance.asking import Write, event
from tests.endurance.crews import PATIENCE
from tests.endurance.serving import a_shop, in_this_process
from tests.endurance.test_disks import READS
from tests.house.tree import ROOT
from tests.soak.faults.every import FAULTS
from tests.soak.faults.relay import Relay
from tests.soak.faults.scenes import SLACK as OF_SCENES
from tests.soak.faults.trying import Tried, judged
from tests.soak.seen import Entry
from tests.support.databases import fresh, opened

SILENCE = 0.4
CONNECT = 2.0
"""Seconds: the driver takes no less."""
SLACK = 8.0
WRITE = Write("cut-0001", json.dumps({"events": [event("received", board="CUT", part="MN-4100")]}).encode())


@pytest.fixture
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A database that holds a shop."""
    with fresh(request, "postgresql", tmp_path) as url, a_shop(url):
        yield url


def test_behind_a_proxy_that_stands_still_everybody_is_told_and_later_served(
    address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(dialling_module, "SILENCE_SECONDS", SILENCE)
    url = make_url(address)
    socket = Path(str(url.query.get("host", ""))) / ".s.PGSQL.5432"
    if not socket.exists():
        pytest.skip("the server that was given has no socket of its own here")
    with Relay(socket) as relay:
        behind = url.set(host="127.0.0.1", port=relay.port, query={}).render_as_string(hide_password=False)
        with opened(behind) as engine, in_this_process(engine) as client:
            assert {client.get(path).status_code for path in READS} == {200}
            relay.cut()
            began = time.monotonic()
            assert [told_to_come_again(client, path) for path in READS] == [True] * len(READS)
            away = client.post("/v1/events", data=WRITE.body, headers=WRITE.headers())
            assert (away.status_code, away.get_json()["code"]) == (503, "store_unavailable")
            assert client.get("/healthz").status_code == 200
            assert time.monotonic() - began < len(READS) * SILENCE + 2 * CONNECT + SLACK
            relay.heal()
            until_served(client)
            assert client.post("/v1/events", data=WRITE.body, headers=WRITE.headers()).status_code == 201
            assert soundness.faults(engine) == []


def told_to_come_again(client: FlaskClient, path: str) -> bool:
    answer = client.get(path)
    return answer.status_code == 503 and int(answer.headers["Retry-After"]) > 0


def until_served(client: FlaskClient) -> None:
    deadline = time.monotonic() + PATIENCE
    while {client.get(path).status_code for path in READS} != {200}:
        assert time.monotonic() < deadline, "it does not come back"
        time.sleep(0.1)


@pytest.mark.parametrize(
    ("at", "told"), [(5.0, ["at the end not all was answered again"]), (5.0 + OF_SCENES, [])]
)
def test_who_is_not_answered_at_the_end_is_told(at: float, told: list[str]) -> None:
    scene: Any = SimpleNamespace(longest=1.0, recovery=1.0, felt=False, reads=None)
    found = Tried("any", "any means", ends=3.0)
    found.seen.entries += [Entry(at, kind, 200, 0.01) for kind in ("record events", "fit by serial")]
    assert judged(scene, found) == told


@pytest.mark.deep
@pytest.mark.parametrize("name", FAULTS)
def test_in_full(name: str) -> None:
    """By the command, which may need a network namespace of its own."""
    command = [sys.executable, "-m", "tests.soak.faults", name]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    print(done.stdout)
    if "not tried" in done.stdout:
        pytest.skip(done.stdout)
    assert done.returncode == 0, done.stdout + done.stderr
