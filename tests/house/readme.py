"""README.md as a program: its fenced curl lines, each with the answer that is shown below it."""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from itertools import zip_longest
from typing import Any, NoReturn
from urllib.parse import urlencode

from tests.house.tree import ROOT

BASE = "http://127.0.0.1:8000"
"""The address at which `demo` serves: every curl line of the README asks there."""

FENCE = re.compile(r"^```(?P<kind>\w*)\n(?P<text>.*?)^```$", re.MULTILINE | re.DOTALL)
VARIABLE = re.compile(r"\$(?P<name>[A-Z_]+)\b")
ASSIGNMENT = re.compile(r"(?P<name>[A-Z_]+)=(?P<value>[\w.-]+)\Z")
ANSWERED = re.compile(r"(?P<name>[A-Z_]+)=\$\((?P<call>curl .*?)\s*\| sed .*\)\Z", re.DOTALL)
"""A variable that is the id in an answer."""
STATUS = re.compile(r"#\s*(?P<status>[1-5]\d\d)\b")
JSON = "application/json"
ANY = "…"
"""Stands in a shown answer for whatever the real one has there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One curl line: what it asks, and what the README says comes back."""

    line: str
    method: str
    target: str
    """Path and query."""
    headers: tuple[tuple[str, str], ...]
    body: str | None
    status: int | None
    """The status in a comment behind the line (`# 422`); None where any success will do."""
    shown: str | None
    """The fence that follows at once, if it shows an answer."""
    names: str = ""
    """The variable that is set to the id in its answer; later calls hold it as `named` writes it."""


class _Curl(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise ValueError(f"a curl line that the tests cannot read: {message}")


def _parser() -> _Curl:
    """The part of curl's command line that a README needs."""
    parser = _Curl(prog="curl", add_help=False, allow_abbrev=False)
    parser.add_argument("url")
    parser.add_argument("-X", "--request", dest="method")
    parser.add_argument("-H", "--header", dest="headers", action="append", default=[])
    parser.add_argument("-d", "--data", dest="data", action="append", default=[])
    parser.add_argument("--json", dest="json")
    parser.add_argument("-o", "--output", dest="output")
    parser.add_argument("-G", "--get", action="store_true", dest="get")
    parser.add_argument("--data-urlencode", dest="query", action="append", default=[])
    for quiet in ("-s", "-S", "-i", "-sS", "-si", "-f", "-N"):
        parser.add_argument(quiet, action="store_true", dest="quiet")
    return parser


def call(line: str, shown: str | None = None, variables: Mapping[str, str] | None = None) -> Call:
    """One line of a shell fence, read as curl would read it. `variables` are those that the shell knows.

    Raises ValueError where it asks somewhere else or uses an option or a variable that is not known here.
    """
    words = shlex.split(_filled_in(line, variables or {}), comments=True)
    given = _parser().parse_args(words[1 : words.index("|")] if "|" in words else words[1:])
    if not given.url.startswith(BASE + "/"):
        raise ValueError(f"not an address of the demo: {given.url}")
    body = given.json if given.get or not given.data else "&".join(given.data)
    status = STATUS.search(line)
    return Call(
        line=line,
        method=given.method or ("GET" if body is None else "POST"),
        target=_target(given),
        headers=tuple(_headers(given)),
        body=body,
        status=int(status["status"]) if status else None,
        shown=shown,
    )


def _filled_in(line: str, variables: Mapping[str, str]) -> str:
    """The line as the shell hands it on: it fills in variables everywhere but between single quotes."""

    def value(found: re.Match[str]) -> str:
        if found["name"] not in variables:
            raise ValueError(f"no line before says what ${found['name']} is")
        return variables[found["name"]]

    pieces = re.split(r"('[^']*')", line)
    return "".join(each if at % 2 else VARIABLE.sub(value, each) for at, each in enumerate(pieces))


def _target(given: argparse.Namespace) -> str:
    """Path and query; with -G what would be a body is the query."""
    path = str(given.url.removeprefix(BASE))
    if not given.get:
        if given.query:
            raise ValueError("--data-urlencode is read with -G only")
        return path
    encoded = urlencode([each.partition("=")[::2] for each in given.query])
    return f"{path}?{'&'.join(filter(None, [*given.data, encoded]))}"


def _headers(given: argparse.Namespace) -> Iterator[tuple[str, str]]:
    """The headers that are written, and those that curl adds for its ways of sending a body."""
    for each in given.headers:
        label, _, value = each.partition(":")
        yield label.strip(), value.strip()
    written = {each.partition(":")[0].strip().lower() for each in given.headers}
    if given.json is not None:
        yield from ((label, JSON) for label in ("Content-Type", "Accept") if label.lower() not in written)
    elif given.data and not given.get and "content-type" not in written:
        yield "Content-Type", "application/x-www-form-urlencoded"


def calls(text: str) -> Iterator[Call]:
    """Every curl line of a Markdown text. The fence below belongs to the last command.

    A variable that a command sets is known to all that come after it: a reader has one shell open.
    """
    variables: dict[str, str] = {}
    fences = list(FENCE.finditer(text))
    for fence, follower in zip_longest(fences, fences[1:]):
        commands = _commands(fence["text"]) if fence["kind"] == "sh" else []
        answered = follower and follower["kind"] != "sh" and not text[fence.end() : follower.start()].strip()
        for at, line in enumerate(commands, 1):
            if assigned := ASSIGNMENT.match(line):
                variables[assigned["name"]] = assigned["value"]
            if answer := ANSWERED.match(line):
                yield replace(call(answer["call"], None, variables), names=answer["name"])
                variables[answer["name"]] = named(answer["name"])
            if line.startswith("curl "):
                yield call(line, follower["text"] if answered and at == len(commands) else None, variables)


def named(variable: str) -> str:
    """What stands in a call for a variable that an earlier answer gives."""
    return f"the-{variable}"


def _commands(fence: str) -> list[str]:
    """The commands of a shell fence; one goes on while a quote or a backslash is open."""
    commands: list[str] = []
    pending = ""
    for line in fence.splitlines():
        pending = f"{pending}\n{line}" if pending else line
        if not _open(pending):
            commands.append(pending.replace("\\\n", " "))
            pending = ""
    return commands


def _open(text: str) -> bool:
    if text.endswith("\\"):
        return True
    try:
        shlex.split(text, comments=True)
    except ValueError:
        return True
    return False


def agrees(shown: Any, real: Any) -> bool:
    """Whether a shown JSON value is part of the real one: members may be left out, nothing may differ."""
    if shown == ANY:
        return True
    if isinstance(shown, dict) and isinstance(real, dict):
        return all(key in real and agrees(value, real[key]) for key, value in shown.items())
    if isinstance(shown, list) and isinstance(real, list):
        return len(shown) == len(real) and all(map(agrees, shown, real))
    return type(shown) is type(real) and bool(shown == real)


@cache
def readme() -> str:
    return (ROOT / "README.md").read_text(encoding="utf-8")
