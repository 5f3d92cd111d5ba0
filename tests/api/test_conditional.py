"""Entity tags and the conditional GET (RFC 9110 sections 8.8.3 and 13)."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from service.api.edge.validators import entity_tag, is_known
from service.demo import serials as s

# RFC 9110 section 8.8.3.2, weak comparison, which If-None-Match uses (the table is from memory).
WEAK = [('W/"1"', True), ('"1"', True), ('W/"2"', False), ('"2"', False), ('"x", W/"1"', True), ("*", True)]

KEPT = [
    f"/v1/fit?board={s.USED_MAIN_60}&unit={s.CUSTOMER_PLOVER_40}",
    f"/v1/units/{s.CUSTOMER_WREN_8}",
    f"/v1/units/{s.CUSTOMER_WREN_8}/parts",
    f"/v1/boards/{s.USED_MAIN_60}",
    "/v1/parts?page_size=3",
    "/v1/parts/MN-4100",
    "/v1/models",
    "/v1/models/wren-4",
    "/openapi.yaml",
]


@pytest.mark.parametrize(("sent", "known"), WEAK)
def test_the_comparison_is_weak(sent: str, known: bool) -> None:
    assert is_known(sent, "1") is known


@pytest.mark.parametrize("sent", [None, "", "1", '"1', "'1'", '"', "W/1", ",", '""'])
def test_a_missing_or_malformed_field_is_no_match_and_no_error(sent: str | None) -> None:
    assert not is_known(sent, "12")


@pytest.mark.parametrize("path", KEPT)
def test_what_is_known_is_not_sent_again(client: FlaskClient, path: str) -> None:
    first = client.get(path)
    tag = first.headers["ETag"]
    assert re.fullmatch(r'"[A-Za-z0-9_-]{24}"', tag)
    assert first.headers["Cache-Control"] == "private, no-cache"
    for condition in (tag, f"W/{tag}", f'"other", {tag}', "*"):
        again = client.get(path, headers={"If-None-Match": condition})
        assert (again.status_code, again.get_data()) == (304, b"")
        assert again.headers["ETag"] == tag
        assert again.headers["Cache-Control"] == "private, no-cache"
    assert client.get(path, headers={"If-None-Match": '"other"'}).status_code == 200
    assert client.get(path).headers["ETag"] == tag


@pytest.mark.parametrize("path", KEPT[:-1])
def test_another_representation_has_another_tag(client: FlaskClient, path: str) -> None:
    text = client.get(path, headers={"Accept": "text/plain"}).headers["ETag"]
    assert text != client.get(path).headers["ETag"]
    assert client.get(path, headers={"If-None-Match": text}).status_code == 200


@pytest.mark.parametrize("path", KEPT)
def test_head_is_get_without_the_body(client: FlaskClient, path: str) -> None:
    get, head = client.get(path), client.head(path)
    assert head.get_data() == b""
    own = ("X-Request-Id", "RateLimit")
    assert {k: v for k, v in head.headers if k not in own} == {k: v for k, v in get.headers if k not in own}


def test_what_is_asked_by_post_is_not_kept(client: FlaskClient) -> None:
    response = client.post(
        "/v1/fit-checks", json={"unit": {"model": "wren-4"}}, headers={"If-None-Match": "*"}
    )
    assert response.status_code == 200
    assert response.headers["Cache-Control"] == "no-store"
    assert "ETag" not in response.headers


def test_a_tag_hangs_on_every_part() -> None:
    assert (
        len(
            {
                entity_tag("a", "b"),
                entity_tag("ab", ""),
                entity_tag("a", "c"),
                entity_tag("a"),
                entity_tag("b", "a"),
            }
        )
        == 5
    )
