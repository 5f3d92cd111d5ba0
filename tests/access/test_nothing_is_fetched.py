"""No address that a caller names is ever fetched, for the service fetches nothing (OWASP API7, API10)."""

from __future__ import annotations

import ast

from tests.house.test_domain_is_pure import imported
from tests.house.tree import name, parsed, python_files

CLIENTS = {
    "aiohttp",
    "ftplib",
    "http.client",
    "httpx",
    "requests",
    "smtplib",
    "socket",
    "ssl",
    "urllib.request",
}
"""What one would fetch with."""
ALLOWED = {
    "service/cli/demo.py": "asks the server that it started itself, at an address that it made up itself",
    "service/server/silence.py": "sets options of the socket that the server listens on",
}


def clients(tree: ast.Module) -> set[str]:
    return {
        module for module in imported(tree) if any((module + ".").startswith(each + ".") for each in CLIENTS)
    }


def test_nothing_in_the_service_can_fetch() -> None:
    found = {name(path): clients(parsed(path)) for path in python_files("service", "migrations")}
    assert {path for path, modules in found.items() if modules} <= set(ALLOWED)
    assert "urllib.request" in found["service/cli/demo.py"]


def test_the_check_can_fail() -> None:
    assert clients(
        ast.parse("from urllib.request import urlopen\nimport http.client\nimport urllib.parse")
    ) == {
        "urllib.request",
        "http.client",
    }
