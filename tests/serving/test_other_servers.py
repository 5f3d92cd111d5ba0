"""The same app under a server written in Rust: a smoke test, for whoever has it (the extra `granian`)."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from http.client import HTTPConnection
from pathlib import Path

import pytest

from tests.endurance.asking import Client
from tests.endurance.serving import Served, a_shop
from tests.serving.test_several_hosts import until
from tests.support.keys import SUITE, bearer

pytest.importorskip("granian", reason="granian is not installed: pip install -e '.[granian]'")

QUESTION = {"unit": {"model": "wren-8"}, "boards": [{"part": "LM-9100"}]}
MANY = json.dumps({"questions": [QUESTION] * 1_000}).encode()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    url = f"sqlite:///{tmp_path / 'shop.db'}"
    (tmp_path / "counts").mkdir()
    server = Served(
        url, tmp_path / "server.log", environment={"BOARDFIT_METRICS_FOLDER": str(tmp_path / "counts")}
    )
    server.program = [
        *(
            sys.executable,
            "-m",
            "granian",
            "--interface",
            "wsgi",
            "--workers",
            "2",
            "--blocking-threads",
            "8",
        ),
        *("--workers-kill-timeout", "25s", "--host", "127.0.0.1", "--port", str(server.port)),
        "service.wsgi:app",
    ]
    with a_shop(url):
        try:
            server.start()
            # A worker that is told to stop while it starts does not hear it, and is killed after its timeout.
            until(lambda: server.said().count("Started worker-") == 2)
            yield server
        finally:
            server.end()


def test_it_answers_counts_together_logs_and_finishes_what_runs(server: Served) -> None:
    for _ in range(12):
        with closing(Client(server.port)) as client:
            assert client.get("/v1/fit?part=LM-9100&model=wren-8").json()["outcome"] == "fits"
    with closing(Client(server.port)) as client:
        counted = client.get("/metrics").body.decode()
    assert 'boardfit_questions_total{kind="fit",outcome="fits"} 12.0' in counted
    with ThreadPoolExecutor(1) as pool:
        answer = pool.submit(ask_many, server.port)
        time.sleep(0.1)
        server.ask_to_stop()
        assert answer.result() == 1_000
    server.until_stopped()
    lines = [json.loads(line) for line in server.said().splitlines() if line.startswith("{")]
    assert {"check_fit", "check_fit_batch"} <= {line["operation"] for line in lines if "operation" in line}


def ask_many(port: int) -> int:
    """How many answers a request brings that takes longer than its server has left."""
    with closing(HTTPConnection("127.0.0.1", port, timeout=60)) as connection:
        headers = {**bearer(SUITE.written()), "Content-Type": "application/json"}
        connection.request("POST", "/v1/fit-checks/batch", MANY, headers)
        return len(json.load(connection.getresponse())["answers"])
