"""The real server: started as a person starts it, asked over HTTP, and stopped."""

from __future__ import annotations

import itertools
import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

import pytest
from gunicorn.app.wsgiapp import WSGIApplication  # type: ignore[import-untyped] # the library carries no types

from service import wsgi
from service.demo.keys import DEMO_KEYS, STAFF_KEY
from service.demo.making import make_or_reuse
from service.demo.world import demo_catalogue
from service.server.starting import CANNOT_START
from tests.house.tree import ROOT
from tests.support.keys import bearer

PATIENCE = 30
SOON = 6
"""Seconds: two, three times over for a machine that is busy; the server's own patience is 25."""


@pytest.fixture
def port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        found: int = probe.getsockname()[1]
    return found


def environment(**settings: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("BOARDFIT_")}
    return {**kept, "PYTHONPATH": str(ROOT), **settings}


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "service", *arguments]


def ask(port: int, method: str, path: str, **sent: Any) -> tuple[int, str | None, Any]:
    """Status, date and JSON body of a response to the demo's staff. Raises OSError where nobody answers."""
    connection = HTTPConnection("127.0.0.1", port, timeout=10)
    headers = {**bearer(STAFF_KEY), **sent.pop("headers", {})}
    try:
        connection.request(method, path, headers=headers, **sent)
        response = connection.getresponse()
        return response.status, response.headers["Date"], json.load(response)
    finally:
        connection.close()


def is_ready(port: int) -> bool:
    try:
        return ask(port, "GET", "/readyz")[0] == 200
    except OSError:
        return False


def until_ready(port: int) -> None:
    deadline = time.monotonic() + PATIENCE
    while not is_ready(port):
        assert time.monotonic() < deadline, "the server was not ready in time"
        time.sleep(0.05)


@pytest.fixture
def served(tmp_path: Path, port: int) -> Iterator[subprocess.Popen[bytes]]:
    database = make_or_reuse(tmp_path / "shop.db")
    settings = environment(
        BOARDFIT_DATABASE_URL=f"sqlite:///{database}",
        BOARDFIT_CATALOGUE_CHECK_SECONDS="0",
        BOARDFIT_WORKERS="1",
    )
    server = subprocess.Popen(command("serve", "--quiet", "--port", str(port)), env=settings)
    try:
        until_ready(port)
        yield server
    finally:
        if server.poll() is None:
            server.terminate()
        server.wait(PATIENCE)


def test_demo_once_asks_four_questions_and_ends_with_0(tmp_path: Path, port: int) -> None:
    done = subprocess.run(
        command("demo", "--once", "--port", str(port)),
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        text=True,
        timeout=PATIENCE * 2,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.count("""$ curl -H 'Accept: text/plain' -H "Authorization: Bearer $KEY" """) == 4
    assert f"$ KEY={STAFF_KEY}\n" in done.stdout
    assert all(key.written in done.stdout for key in DEMO_KEYS)
    assert "DOES NOT FIT" in done.stdout
    assert "FITS, WITH PROGRAMMING" in done.stdout
    assert "CANNOT TELL YET" in done.stdout
    assert (tmp_path / "boardfit-demo.db").is_file()


def _by_gunicorn(monkeypatch: pytest.MonkeyPatch) -> None:
    command = "gunicorn -c python:service.server.configuration service.wsgi:app"
    monkeypatch.setattr(sys, "argv", command.split())
    WSGIApplication()


def _by_another_server(_: object) -> None:
    _ = wsgi.app


@pytest.mark.parametrize("start", [_by_gunicorn, _by_another_server])
def test_faults_of_the_settings_are_all_that_is_told(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    start: Callable[[pytest.MonkeyPatch], None],
) -> None:
    monkeypatch.setenv("BOARDFIT_PORT", "x")
    monkeypatch.setenv("BOARDFIT_WORKERS", "many")
    with pytest.raises(SystemExit) as ended:
        start(monkeypatch)
    assert ended.value.code == CANNOT_START
    assert capsys.readouterr().err.splitlines() == [
        "error: the settings have faults:",
        "  BOARDFIT_PORT: must be a whole number from 1 to 65535",
        "  BOARDFIT_WORKERS: must be a whole number from 1 to 64",
    ]


def test_a_port_in_use_is_told_in_one_line(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        number = str(taken.getsockname()[1])
        done = subprocess.run(
            command("demo", "--once", "--port", number),
            cwd=tmp_path,
            env=environment(),
            capture_output=True,
            text=True,
            timeout=PATIENCE,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr == f"error: port {number} is in use: choose another with --port\n"


def test_a_server_answers_takes_a_new_catalogue_and_stops_at_once(
    served: subprocess.Popen[bytes], port: int, tmp_path: Path
) -> None:
    status, date, before = ask(port, "GET", "/v1/parts/LF-7100")
    assert status == 200
    assert date
    changed = tmp_path / "newer.yaml"
    changed.write_text(demo_catalogue().replace('price: "29.50"', 'price: "31.00"'), encoding="utf-8")
    subprocess.run(
        command("catalogue", "publish", str(changed)),
        env=environment(BOARDFIT_DATABASE_URL=f"sqlite:///{tmp_path / 'shop.db'}"),
        check=True,
        capture_output=True,
        timeout=PATIENCE,
    )
    _, _, after = ask(port, "GET", "/v1/parts/LF-7100")
    assert (before["price"]["amount"], after["price"]["amount"]) == ("29.50", "31.00")
    assert before["catalogue_revision"] != after["catalogue_revision"]
    with closing(HTTPConnection("127.0.0.1", port)) as kept:
        kept.request("GET", "/healthz")
        kept.getresponse().read()
        asked = time.monotonic()
        served.send_signal(signal.SIGTERM)
        assert served.wait(PATIENCE) == 0
    assert time.monotonic() - asked < SOON


@pytest.mark.usefixtures("served")
def test_a_chunked_body_over_the_limit_is_a_413_on_the_wire(port: int) -> None:
    body = itertools.chain([b"{"], itertools.repeat(b" " * 65_536, 20), [b"}"])
    headers = {"Content-Type": "application/json"}
    status, _, problem = ask(port, "POST", "/v1/fit-checks", body=body, headers=headers, encode_chunked=True)
    assert (status, problem["code"]) == (413, "content_too_large")
