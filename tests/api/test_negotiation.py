"""Media types as RFC 9110 section 12.5.1 has them: JSON unless the caller says otherwise."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.datastructures import MIMEAccept
from werkzeug.http import parse_accept_header

from service.api.edge.negotiate import JSON, TEXT, media_type
from service.api.problems import Problem

# The example of RFC 9110 section 12.5.1 with its table of quality values (the table is from memory; the
# numbers were reproduced with a public reference library).
EXAMPLE = "text/*;q=0.3, text/plain;q=0.7, text/plain;format=flowed, text/plain;format=fixed;q=0.4, */*;q=0.5"
TABLE = {
    "text/plain;format=flowed": 1,
    "text/plain": 0.7,
    "text/html": 0.3,
    "image/jpeg": 0.5,
    "text/plain;format=fixed": 0.4,
    "text/html;level=3": 0.3,
}


@pytest.mark.parametrize(("offer", "quality"), TABLE.items())
def test_the_example_of_the_standard(offer: str, quality: float) -> None:
    assert parse_accept_header(EXAMPLE, MIMEAccept).quality(offer) == quality


@pytest.mark.parametrize(
    ("accept", "chosen"),
    [
        (None, JSON),
        ("", JSON),
        ("*/*", JSON),
        ("application/*", JSON),
        ("text/*", TEXT),
        ("text/plain", TEXT),
        ("TEXT/PLAIN", TEXT),
        ("text/plain; charset=utf-8", TEXT),
        ("application/json; charset=utf-8", JSON),
        ("text/plain;q=0.5, application/json;q=0.4", TEXT),
        ("text/plain;q=0.4, application/json;q=0.5", JSON),
        ("text/plain, application/json", JSON),
        ("application/json;q=0, */*", TEXT),
        ("text/html, application/xhtml+xml, */*;q=0.8", JSON),
        (EXAMPLE, TEXT),
        ("nonsense", JSON),
        (";;;,", JSON),
    ],
)
def test_the_best_offer_is_taken(accept: str | None, chosen: str) -> None:
    assert media_type(accept, (JSON, TEXT)) == chosen


@pytest.mark.parametrize(
    "accept", ["image/*", "text/html", "application/json;q=0", "*/*;q=0", "text/plain;format=flowed"]
)
def test_nothing_acceptable_is_a_406(accept: str) -> None:
    with pytest.raises(Problem) as raised:
        media_type(accept, (JSON, TEXT))
    assert raised.value.code == "not_acceptable"


def test_what_was_negotiated_is_said(client: FlaskClient) -> None:
    response = client.get("/v1/models")
    assert response.headers["Vary"] == "Accept, Accept-Language"
    assert response.headers["Content-Language"] == "en"
    assert response.content_type == "application/json"


def test_a_problem_is_told_as_json_whatever_is_accepted(client: FlaskClient) -> None:
    response = client.get("/v1/models/none", headers={"Accept": "text/plain"})
    assert response.content_type == "application/problem+json"
