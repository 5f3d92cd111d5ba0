"""Events in plain lines: a diary."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

Shown = Mapping[str, Any]


def recorded(of: Shown) -> str:
    """What was recorded."""
    lines = [_line(each) for each in of["events"]]
    given = of.get("answers_given", ())
    lines += [
        f"answered since: {each['kind']}, board {each['board']} (event {each['seq']})" for each in given
    ]
    return _text(lines)


def history(of: Shown) -> str:
    """What happened to one board or unit."""
    what = "board" if "board" in of else "unit"
    return _text([f"{what} {of[what]}", *_lines(of["items"])])


def feed(of: Shown) -> str:
    """A page of the feed."""
    return _text([*_lines(of["items"]), f"go on with after={of['next_after']}"])


def _lines(items: Iterable[Shown]) -> Iterator[str]:
    found = [_line(each) for each in items]
    yield from found or ["nothing is recorded"]


def _line(of: Shown) -> str:
    line = f"{of['occurred_at'][:16].replace('T', ' ')}  {of['seq']:>6}  {of['text']}"
    if "withdrawn" in of:
        line += f" [withdrawn by event {of['withdrawn']['by']}: {of['withdrawn']['reason']}]"
    return line


def _text(lines: Iterable[str]) -> str:
    return "\n".join(lines) + "\n"
