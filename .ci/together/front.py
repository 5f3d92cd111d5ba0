"""The proxy with docker/Caddyfile, and what is seen of the service from outside."""

from __future__ import annotations

import json
import os
import socket
import ssl
import subprocess
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from http.client import HTTPException, HTTPResponse, HTTPSConnection
from pathlib import Path
from typing import Any
from urllib.request import urlopen

from database import ROOT
from showing import must, until

from service.demo.keys import STAFF_KEY
from tests.endurance.serving import Served, free_port

SLOW = 60
"""Clients that never finish their request: more than the servers have threads."""
SOON = 3.0
"""Seconds in which others are answered all the same."""
SIZE = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Front:
    """The proxy."""

    port: int
    trusted: ssl.SSLContext

    def connect(self) -> HTTPSConnection:
        return HTTPSConnection("localhost", self.port, timeout=90, context=self.trusted)

    def ask(self, path: str, **sent: Any) -> tuple[int, HTTPResponse, bytes]:
        """One request on a connection of its own."""
        connection = self.connect()
        try:
            return asked(connection, path, **sent)
        finally:
            connection.close()


def asked(
    connection: HTTPSConnection, path: str, body: object = None, headers: dict[str, str] | None = None
) -> tuple[int, HTTPResponse, bytes]:
    """A request to the proxy with the demo's key; POST where something is sent."""
    sent = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
    kind = {} if body is None else {"Content-Type": "application/json"}
    every = {"Authorization": f"Bearer {STAFF_KEY}", **kind, **(headers or {})}
    connection.request("GET" if body is None else "POST", path, sent, every)
    response = connection.getresponse()
    return response.status, response, response.read()


@contextmanager
def proxied(caddy: str, folder: Path, servers: tuple[Served, ...]) -> Iterator[Front]:
    """The proxy with the file of docker/, on ports of this run."""
    port, admin = free_port(), free_port()
    with (folder / "proxy.log").open("wb") as log:
        process = subprocess.Popen(
            [caddy, "run", "--config", ROOT / "docker/Caddyfile", "--adapter", "caddyfile"],
            env={
                **os.environ,
                "ADMIN": f"localhost:{admin}",
                "HTTP_PORT": str(free_port()),
                "HTTPS_PORT": str(port),
                "SITE": "localhost",
                "UPSTREAMS": " ".join(f"127.0.0.1:{server.port}" for server in servers),
                "XDG_CONFIG_HOME": str(folder / "config"),
                "XDG_DATA_HOME": str(folder / "data"),
            },
            stdout=log,
            stderr=log,
        )
        try:
            certificate = folder / "data/caddy/pki/authorities/local/root.crt"
            until(certificate.is_file, "the proxy has a certificate")
            front = Front(port, ssl.create_default_context(cafile=certificate))
            until(lambda: answers(front), "the proxy answers over TLS")
            alive = f"http://localhost:{admin}/reverse_proxy/upstreams"
            with urlopen(alive, timeout=5) as told:
                must(told.status == 200, "and its health check does")
            yield front
        finally:
            process.terminate()
            must(process.wait(40) == 0, "the proxy stops in order")


def answers(front: Front) -> bool:
    with suppress(OSError, HTTPException):
        return front.ask("/v1/models")[0] == 200
    return False


def look_in(front: Front) -> None:
    """What is seen from outside."""
    inside = (
        "/metrics",
        "/metrics/",
        "//metrics",
        "/%6Detrics",
        "/METRICS",
        "/v1/../metrics",
        "/readyz",
        "/",
    )
    must({front.ask(path)[0] for path in inside} == {404}, "metrics and readiness stay inside")
    public = ("/openapi.yaml", "/docs", "/healthz")
    seen = {path: front.ask(path)[0] for path in public}
    must(set(seen.values()) == {200}, f"the document, its pages and health do not {seen}")
    _, response, _ = front.ask("/v1/models")
    must("Via" not in response.headers, "the proxy does not name itself")
    must("max-age" in response.headers["Strict-Transport-Security"], "browsers are told to keep to TLS")
    # Whitespace is no content, but has a size.
    question = json.dumps({"unit": {"model": "wren-8"}, "boards": [{"part": "LM-9100"}]}).encode()
    full = question + b" " * (SIZE - len(question))
    must(front.ask("/v1/fit-checks", body=full)[0] == 200, "a body of 1 MiB is read")
    must(front.ask("/v1/fit-checks", body=full + b" ")[0] == 413, "a larger one is refused")


def be_slow(front: Front) -> None:
    """Many who send a little and then nothing; nobody else notices."""
    head = (
        f"POST /v1/fit-checks HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {STAFF_KEY}\r\n"
        "Content-Type: application/json\r\nContent-Length: 500\r\n\r\n{"
    )
    with ExitStack() as stack:
        for _ in range(SLOW):
            bare = socket.create_connection(("localhost", front.port), timeout=30)
            slow = stack.enter_context(front.trusted.wrap_socket(bare, server_hostname="localhost"))
            slow.sendall(head.encode())
        worst = 0.0
        for _ in range(20):
            began = time.monotonic()
            status = front.ask("/v1/models")[0]
            worst = max(worst, time.monotonic() - began)
            if status != 200:
                must(False, f"somebody is answered with {status} beside slow clients")
        must(worst < SOON, f"beside {SLOW} slow clients others are answered within {worst:.2f} s")
