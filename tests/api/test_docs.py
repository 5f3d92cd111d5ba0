"""The documentation page stands by itself: whatever it refers to is served from here."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from urllib.parse import urljoin

import pytest
from flask.testing import FlaskClient

from service.api.views.docs import PAGE, START, TYPES
from tests.api.problem_shape import problem_of

PLACES = {("link", "href"), ("script", "src"), ("a", "href"), ("img", "src")}
CSS_ADDRESS = re.compile(r"""url\(\s*["']?([^"')]{1,40})|@import\s+["']?([^"';]{1,40})""")
ABROAD = re.compile(r"https?:|//|ftp:|ws")


class Addresses(HTMLParser):
    """What a page has the browser fetch or offers to follow, and what it holds inline."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.inline: list[str] = []
        self._inside = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {name: value or "" for name, value in attrs}
        self.found += [named[name] for of, name in PLACES if of == tag and name in named]
        self.inline += [name for name in named if name == "style" or name.startswith("on")]
        self._inside = tag

    def handle_data(self, data: str) -> None:
        self.inline += [self._inside] if self._inside in {"script", "style"} and data.strip() else []


def policy(client: FlaskClient) -> dict[str, list[str]]:
    """The directives of the page's Content-Security-Policy."""
    written = client.get("/docs").headers["Content-Security-Policy"]
    return {name: values for name, *values in (each.split() for each in written.split(";"))}


def test_everything_that_the_page_refers_to_is_served(client: FlaskClient) -> None:
    found = Addresses(client.get("/docs").text).found
    assert len(found) == 5
    for address in found:
        target = urljoin("/docs", address)
        assert not ABROAD.match(address), address
        assert client.get(target).status_code == 200, address
    assert {urljoin("/docs", each) for each in found} == {
        "/openapi.yaml",
        *(f"/docs/{each}" for each in TYPES),
    }


def test_it_starts_the_reader_on_our_document_and_nobody_elses_service() -> None:
    assert 'url: "openapi.yaml"' in START
    assert "validatorUrl: null" in START
    assert not ABROAD.search(START)


def test_the_style_sheet_brings_its_pictures_along(client: FlaskClient) -> None:
    """It names no font and no picture of elsewhere."""
    sheet = client.get("/docs/swagger-ui.css").text
    addresses = [one or other for one, other in CSS_ADDRESS.findall(sheet)]
    assert len(addresses) >= 5
    assert [each for each in addresses if not each.startswith("data:image/")] == []
    assert "@font-face" not in sheet


def test_the_browser_may_fetch_from_here_alone_and_run_nothing_inline(client: FlaskClient) -> None:
    held = policy(client)
    assert held["default-src"] == ["'none'"]
    assert {each for values in held.values() for each in values} == {"'none'", "'self'", "data:"}
    assert held["img-src"] == ["'self'", "data:"]
    assert Addresses(client.get("/docs").text).inline == []


def test_inline_code_would_be_found() -> None:
    for bad in ("<script>x()</script>", "<p style='a:b'>", "<a onclick='x()'>", "<style>a{}</style>"):
        assert Addresses(PAGE + bad).inline


@pytest.mark.parametrize("path", ["/docs", *(f"/docs/{name}" for name in TYPES)])
def test_it_is_kept_and_asked_for_again(client: FlaskClient, path: str) -> None:
    first = client.get(path)
    assert first.status_code == 200
    assert first.data
    assert first.headers["X-Content-Type-Options"] == "nosniff"
    assert first.headers["Cache-Control"] == "private, no-cache"
    again = client.get(path, headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    assert "Content-Security-Policy" in again.headers


def test_what_is_not_of_the_page_is_not_there(client: FlaskClient) -> None:
    """Neither other files of the package nor anything outside of it."""
    for name in ("LICENSE", "index.css", "..%2fflask_swagger_ui.py", "%2e%2e", "start.js%2f.."):
        assert problem_of(client.get(f"/docs/{name}"))["code"] == "not_found"


def test_the_page_is_a_page(client: FlaskClient) -> None:
    problem = problem_of(client.get("/docs", headers={"Accept": "application/json"}))
    assert problem["code"] == "not_acceptable"
