"""Titled lists, and what an answer says besides its outcome."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

Shown = Mapping[str, Any]


def about(of: Shown) -> Iterator[str]:
    """What an answer says besides its outcome: what to do, what is open, what was assumed."""
    yield from section("what to do", map(_step, of["programming"]["steps"]))
    if of["programming"]["minutes"]:
        span = of["programming"]["minutes"]
        yield f"  {span['least']} to {span['most']} minutes in all"
    if of["ask"]:
        yield from section("to find out", [of["ask"]["question"], of["ask"]["how"]])
    held = [name for name, word in of["clearance"].items() if word == "held"]
    yield from section("held", (f"{name}: ask before selling or programming" for name in held))
    yield from section("cautions", (f"{each['signal']}: {each['text']}" for each in of["cautions"]))


def section(title: str, lines: Iterable[str]) -> Iterator[str]:
    """A titled list; nothing where the list is empty."""
    shown = [f"  {line}" for line in lines]
    if shown:
        yield from ("", f"{title}:", *shown)


def _step(of: Shown) -> str:
    told = [of["who"], f"{of['minutes']['least']} to {of['minutes']['most']} min"]
    if not of["undoable"]:
        told.append("can't be undone")
    if "when" in of:
        told.append(_when(of["when"]))
    return f"{of['text']} ({', '.join(told)})"


def _when(of: Shown) -> str:
    return f"if {of['fact']} is {' or '.join(of['values'])}" if of["values"] else f"depending on {of['fact']}"
