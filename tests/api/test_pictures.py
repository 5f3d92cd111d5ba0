"""Pictures over HTTP: as their siblings in JSON, with one media type of their own."""

from __future__ import annotations

from datetime import UTC, datetime
from xml.etree import ElementTree as ET

import pytest
from flask.testing import FlaskClient

from service.demo import serials as s
from service.pictures.svg import STYLE_HASH
from tests.api.problem_shape import problem_of

SVG = "image/svg+xml"
UNIT = f"/v1/units/{s.DISAGREEING_PLOVER_40}"
FIT = f"/v1/fit?board={s.USED_MAIN_60}&unit={s.CUSTOMER_PLOVER_40}"
DRAWN = {UNIT: f"{UNIT}/picture", FIT: FIT.replace("?", "/picture?")}
"""The addresses of pictures by those of the answers that they show."""


def described(svg: str) -> str:
    """What a picture says of itself."""
    tree = ET.fromstring(svg)  # noqa: S314 - the service wrote it
    found = tree.find("{http://www.w3.org/2000/svg}desc")
    assert found is not None
    return found.text or ""


@pytest.mark.parametrize("answer", DRAWN)
def test_it_shows_what_its_sibling_answers(client: FlaskClient, answer: str) -> None:
    response = client.get(DRAWN[answer])
    assert response.content_type == SVG
    said = client.get(answer).get_json()
    heard = described(response.text)
    assert said["summary"] in heard
    assert said["catalogue_revision"] in heard
    for board in said["boards"]:
        assert board.get("serial", "") in heard
        # Several that it may be are told as alternatives.
        assert all(part in heard for part in board.get("parts", ()))


def test_a_moment_in_the_past_is_named(client: FlaskClient) -> None:
    said = "This is what was known on"
    moment = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    assert said in described(client.get(f"{DRAWN[FIT]}&as_of={moment}").text)
    assert said not in described(client.get(DRAWN[FIT]).text)


@pytest.mark.parametrize("path", DRAWN.values())
def test_it_is_kept_as_they_are(client: FlaskClient, path: str) -> None:
    first = client.get(path)
    assert first.headers["Cache-Control"] == "private, no-cache"
    assert first.headers["Vary"] == "Accept, Accept-Language"
    tag = first.headers["ETag"]
    again = client.get(path, headers={"If-None-Match": tag})
    assert (again.status_code, again.data, again.headers["ETag"]) == (304, b"", tag)
    german = client.get(path, headers={"Accept-Language": "de"})
    assert german.headers["Content-Language"] == "de"
    assert german.headers["ETag"] != tag
    assert 'lang="de"' in german.text
    head = client.head(path)
    assert (head.data, head.headers["ETag"]) == (b"", tag)
    assert client.get(path).data == first.data


@pytest.mark.parametrize("path", DRAWN.values())
def test_a_browser_lets_in_its_style_sheet_alone(client: FlaskClient, path: str) -> None:
    policy = client.get(path).headers["Content-Security-Policy"]
    assert policy == f"default-src 'none'; style-src '{STYLE_HASH}'"


@pytest.mark.parametrize(
    "accept", [None, "*/*", "image/*", SVG, "image/avif,image/webp,image/svg+xml,*/*;q=0.8"]
)
def test_it_is_what_a_browser_asks_for(client: FlaskClient, accept: str | None) -> None:
    sent = {} if accept is None else {"Accept": accept}
    assert client.get(DRAWN[UNIT], headers=sent).content_type == SVG


@pytest.mark.parametrize("accept", ["application/json", "text/plain", "image/png"])
def test_it_is_nothing_else(client: FlaskClient, accept: str) -> None:
    problem = problem_of(client.get(DRAWN[UNIT], headers={"Accept": accept}))
    assert problem["code"] == "not_acceptable"


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/v1/units/nonsense/picture", 404),
        (f"{UNIT}/picture?means=nobody", 422),
        (f"{UNIT}/picture?colour=red", 422),
        ("/v1/fit/picture?board=A&role=main&unit=B&part=X", 422),
        ("/v1/fit/picture?part=MN-4100&model=plover-41", 422),
        ("/v1/fit/picture?unit=A&unit=B", 400),
    ],
)
def test_what_cannot_be_drawn_is_told_as_it_is_for_its_sibling(
    client: FlaskClient, path: str, status: int
) -> None:
    drawn, answered = (client.get(each) for each in (path, path.replace("/picture", "")))
    assert drawn.status_code == status
    assert problem_of(drawn) == problem_of(answered)
