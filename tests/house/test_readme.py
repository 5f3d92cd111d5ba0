"""The README's commands are those that CI runs, and its curl lines do what it says."""

from __future__ import annotations

import json

import pytest

from tests.house.readme import agrees, call, calls, readme
from tests.house.tree import ROOT

DEMO = "python3 -m venv .venv && .venv/bin/pip install -qe . && .venv/bin/python -m service demo"
INSTALL = "python3 -m venv .venv && .venv/bin/pip install -qe '.[test]'"
TEST = f"{INSTALL} && .venv/bin/python -m pytest -n 2 --dist loadfile"


@pytest.mark.parametrize("command", [DEMO, TEST])
def test_the_two_commands_stand_on_lines_of_their_own(command: str) -> None:
    assert command in readme().splitlines()


def test_ci_runs_the_test_command_as_the_readme_has_it() -> None:
    assert TEST in (ROOT / ".ci/run").read_text(encoding="utf-8").splitlines()


def test_curl_is_read_as_curl_reads_it() -> None:
    plain = call("curl -s 'http://127.0.0.1:8000/v1/fit?board=A&unit=B'")
    assert (plain.method, plain.target, plain.headers, plain.body) == (
        "GET",
        "/v1/fit?board=A&unit=B",
        (),
        None,
    )
    posted = call(
        """curl -s --json '{"a": "b c"}' http://127.0.0.1:8000/v1/x | python3 -m json.tool  # 422"""
    )
    assert (posted.method, posted.status, posted.body) == ("POST", 422, '{"a": "b c"}')
    assert posted.headers == (("Content-Type", "application/json"), ("Accept", "application/json"))
    formed = call("curl -d a=b http://127.0.0.1:8000/x")
    assert formed.headers == (("Content-Type", "application/x-www-form-urlencoded"),)
    asked = call(
        "curl -sG http://127.0.0.1:8000/v1/parts --data-urlencode 'function=tilt sensing' -d role=main"
    )
    assert (asked.method, asked.target) == ("GET", "/v1/parts?role=main&function=tilt+sensing")
    assert (asked.body, asked.headers) == (None, ())


def test_variables_are_filled_in_as_a_shell_does() -> None:
    text = (
        "```sh\nKEY=bfk_a_b_c\n```\nwords\n```sh\n"
        """curl -H "Authorization: Bearer $KEY" -d '$KEY' http://127.0.0.1:8000/a\n```\n"""
    )
    (filled,) = calls(text)
    assert ("Authorization", "Bearer bfk_a_b_c") in filled.headers
    assert filled.body == "$KEY"


@pytest.mark.parametrize(
    "line",
    [
        "curl http://example.org/",
        "curl --upload-file x http://127.0.0.1:8000/",
        'curl -H "A: $NOWHERE" http://127.0.0.1:8000/',
    ],
)
def test_a_curl_line_that_cannot_be_tried_is_an_error(line: str) -> None:
    with pytest.raises(ValueError, match=r"not an address|cannot read|no line before"):
        call(line)


def test_an_answer_belongs_to_the_curl_line_above_it() -> None:
    text = (
        "```sh\ncurl http://127.0.0.1:8000/a \\\n  -s\necho x\n```\n\n```json\n{}\n```\n\n"
        "```sh\ncurl --json '{\n \"b\": 1}' http://127.0.0.1:8000/b\n```\nwords\n```json\n[]\n```\n"
    )
    first, second = calls(text)
    assert (first.target, first.shown) == ("/a", None), "another command stands between"
    assert (second.target, second.shown, json.loads(second.body or "")) == ("/b", None, {"b": 1})
    owned = list(calls("```sh\ncurl http://127.0.0.1:8000/a\n```\n\n```json\n{}\n```\n"))
    assert [each.shown for each in owned] == ["{}\n"]


def test_a_shown_answer_may_leave_out_but_not_differ() -> None:
    real = {"a": [{"b": 1, "c": 2}], "d": None}
    assert agrees({"a": [{"b": 1}]}, real)
    assert agrees({"a": ["…"]}, real)
    wrong: list[dict[str, object]] = [{"a": []}, {"a": [{"b": True}]}, {"e": 1}, {"d": False}]
    assert not any(agrees(each, real) for each in wrong)
