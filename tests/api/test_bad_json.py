"""Bodies that are no strict JSON, of the wrong kind, or too large: a 400, 413 or 415 that says what to mend.

What is refused beyond RFC 8259 (repeated members, numbers past all range, lone surrogates) is what
RFC 7493 (I-JSON) asks senders to avoid.
"""

from __future__ import annotations

import io
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.api.app import MAX_BODY_BYTES
from tests.api.bad import Bad, cases

POSTS = ("/v1/fit-checks", "/v1/fit-checks/batch")

TEXTS: dict[str, tuple[bytes, str, str]] = {
    # name: body, place, mend
    "empty": (b"", "#", "empty: send a JSON object"),
    "spaces": (b" \n ", "#", "empty: send a JSON object"),
    "word": (b"hello", "#", "line 1, column 1"),
    "cut off": (b'{"boards": [', "#", "line 1, column 13"),
    "cut off in a text": (b'{"unit": {"model": "plo', "#", "line 1, column 20"),
    "cut off after a colon": (b'{"unit":', "#", "line 1, column 9"),
    "trailing comma": (b'{"boards": [],}', "#", "line 1, column 1[45]"),
    "trailing comma in a list": (b'{"boards": [1,]}', "#", "line 1"),
    "two values": (b"{} {}", "#", "extra data"),
    "rubbish behind": (b'{"boards": []}x', "#", "extra data"),
    "single quotes": (b"{'boards': []}", "#", "line 1, column 2"),
    "bare name": (b"{boards: []}", "#", "line 1, column 2"),
    "comment": (b'{"boards": [] /* none */}', "#", "line 1"),
    "line comment": (b'{"boards": []} // none', "#", "extra data"),
    "hexadecimal": (b'{"a": 0x10}', "#", "line 1"),
    "leading zero": (b'{"a": 012}', "#", "line 1"),
    "leading plus": (b'{"a": +1}', "#", "line 1"),
    "bare point": (b'{"a": .5}', "#", "line 1"),
    "point at the end": (b'{"a": 5.}', "#", "line 1"),
    "half an exponent": (b'{"a": 1e}', "#", "line 1"),
    "True": (b'{"a": True}', "#", "line 1"),
    "None": (b'{"a": None}', "#", "line 1"),
    "undefined": (b'{"a": undefined}', "#", "line 1"),
    "NaN": (b'{"a": NaN}', "#", "NaN is no JSON number"),
    "Infinity": (b'{"a": Infinity}', "#", "Infinity is no JSON number"),
    "minus Infinity": (b'{"a": -Infinity}', "#", "-Infinity is no JSON number"),
    "1e400": (b'{"a": 1e400}', "#", "out of range"),
    "-1e999": (b'{"a": -1e999}', "#", "out of range"),
    "5,000 digits": (b'{"a": ' + b"9" * 5000 + b"}", "#", "5000 digits: send at most 100"),
    "101 digits": (b'{"a": ' + b"1" * 101 + b"}", "#", "101 digits"),
    "a million digits": (b'{"a": ' + b"7" * 1_000_000 + b"}", "#", "1000000 digits"),
    "a long fraction past range": (b'{"a": 9' + b"9" * 400 + b".5}", "#", "out of range"),
    "member twice": (b'{"boards": [], "boards": []}', "#", '"boards" stands twice'),
    "inner member twice": (b'{"unit": {"model": "a", "model": "b"}}', "#", '"model" stands twice'),
    "member twice by escape": (b'{"unit": {}, "un\\u0069t": {}}', "#", '"unit" stands twice'),
    "NUL by escape": (b'{"unit": {"serial": "A\\u0000B"}}', "#/unit/serial", "U\\+0000: leave it out"),
    "NUL in a name": (b'{"a\\u0000": 1}', "#", "U\\+0000"),
    "NUL raw": (b'{"unit": {"serial": "A\x00B"}}', "#", "line 1"),
    "raw tab in a text": (b'{"unit": {"serial": "A\tB"}}', "#", "line 1"),
    "raw line break in a text": (b'{"unit": {"serial": "A\nB"}}', "#", "line 1"),
    "high surrogate alone": (b'{"unit": {"serial": "\\ud800"}}', "#/unit/serial", "surrogate"),
    "low surrogate alone": (b'{"unit": {"serial": "\\udc00x"}}', "#/unit/serial", "surrogate"),
    "surrogates in the wrong order": (
        b'{"unit": {"serial": "\\udc00\\ud800"}}',
        "#/unit/serial",
        "surrogate",
    ),
    "surrogate in a name": (b'{"\\ud834": 1}', "#", "surrogate"),
    "surrogate in a list": (b'{"boards": [{"serial": "\\ud800"}]}', "#/boards/0/serial", "surrogate"),
    "bad escape": (b'{"a": "\\x41"}', "#", "line 1"),
    "half an escape": (b'{"a": "\\u12"}', "#", "line 1"),
    "not UTF-8": (b'{"a": "\xff"}', "#", "byte 7 is not UTF-8"),
    "Latin-1": ('{"a": "ä"}'.encode("latin-1"), "#", "not UTF-8"),
    "UTF-16": ('{"a": 1}'.encode("utf-16"), "#", "not UTF-8"),
    "overlong": (b'{"a": "\xc0\xaf"}', "#", "not UTF-8"),
    "surrogate as bytes": (b'{"a": "\xed\xa0\x80"}', "#", "not UTF-8"),
    "byte order mark": (b"\xef\xbb\xbf{}", "#", "line 1|byte order mark"),
    "nested 10,000 lists": (b"[" * 10_000, "#", "levels deep|line 1"),
    "nested 10,000 objects": (b'{"a":' * 10_000 + b"1" + b"}" * 10_000, "#", "levels deep"),
    "nested 40 lists": (b'{"boards":' + b"[" * 40 + b"]" * 40 + b"}", "#", "levels deep"),
}

BAD = [
    Bad(
        name=f"{name} at {path}",
        status=400,
        code="malformed_json",
        at=place,
        mend=mend,
        path=path,
        sent={"data": body, "content_type": "application/json"},
    )
    for name, (body, place, mend) in TEXTS.items()
    for path in POSTS
]

KINDS: dict[str, tuple[dict[str, Any], str, str]] = {
    "form": ({"data": {"unit": "x"}}, "Content-Type", "application/json"),
    "no type": ({"data": b"{}", "content_type": ""}, "Content-Type", "application/json"),
    "text": ({"data": b"{}", "content_type": "text/plain"}, "Content-Type", "application/json"),
    "XML": ({"data": b"<a/>", "content_type": "application/xml"}, "Content-Type", "application/json"),
    "JSON of another kind": ({"data": b"{}", "content_type": "application/ld+json"}, "Content-Type", "json"),
    "another charset": (
        {"data": b"{}", "content_type": "application/json; charset=latin-1"},
        "Content-Type",
        "application/json",
    ),
    "gzip": (
        {"data": b"\x1f\x8b", "content_type": "application/json", "headers": {"Content-Encoding": "gzip"}},
        "Content-Encoding",
        "without a content encoding",
    ),
    "br": (
        {"data": b"x", "content_type": "application/json", "headers": {"Content-Encoding": "br"}},
        "Content-Encoding",
        "without a content encoding",
    ),
}
BAD_KINDS = [
    Bad(
        name=f"{name} at {path}",
        status=415,
        code="unsupported_media_type",
        at=at,
        mend=mend,
        path=path,
        sent=sent,
    )
    for name, (sent, at, mend) in KINDS.items()
    for path in POSTS
]


@pytest.mark.parametrize("bad", cases([*BAD, *BAD_KINDS]))
def test_it_is_refused_with_its_place_and_mend(client: FlaskClient, bad: Bad) -> None:
    bad.check(client)


def test_a_charset_and_a_case_of_the_right_type_are_taken(client: FlaskClient) -> None:
    for kind in ("application/json; charset=utf-8", "Application/JSON", 'application/json; charset="UTF-8"'):
        assert client.post("/v1/fit-checks", data=b"{}", content_type=kind).status_code == 200


@pytest.mark.parametrize("path", POSTS)
def test_a_body_over_the_limit_is_a_413(client: FlaskClient, path: str) -> None:
    padded = b"{" + b" " * MAX_BODY_BYTES + b"}"
    sent = {"data": padded, "content_type": "application/json"}
    Bad(
        name="", status=413, code="content_too_large", at=None, mend="several calls", path=path, sent=sent
    ).check(client)


@pytest.mark.parametrize("path", POSTS)
def test_a_chunked_body_over_the_limit_is_a_413(client: FlaskClient, path: str) -> None:
    stream = io.BytesIO(b"{" + b" " * (2 * MAX_BODY_BYTES) + b"}")
    environ = {"wsgi.input_terminated": True, "CONTENT_TYPE": "application/json"}
    response = client.post(path, input_stream=stream, environ_overrides=environ, content_length=None)
    assert response.status_code == 413


def test_a_chunked_body_within_the_limit_is_read(demo_app: Flask) -> None:
    environ = {"wsgi.input_terminated": True, "CONTENT_TYPE": "application/json"}
    sent = io.BytesIO(b'{"unit": {"model": "wren-4"}}')
    response = demo_app.test_client().post("/v1/fit-checks", input_stream=sent, environ_overrides=environ)
    assert response.status_code == 200


def test_a_body_just_within_the_limit_is_read(client: FlaskClient) -> None:
    body = b"{}".ljust(MAX_BODY_BYTES)
    assert client.post("/v1/fit-checks", data=body, content_type="application/json").status_code == 200
