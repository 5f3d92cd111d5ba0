"""What to do when a unit refuses to run, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.lists import section

Shown = Mapping[str, Any]


def if_it_refuses(of: Shown) -> Iterator[str]:
    """The advice."""
    yield from section("if it refuses to run", [of["text"], *_mend(of["mend"])])
    yield from section("where to look, in this order", (_look(each) for each in of["look_at"]))
    yield from section(
        "cautions while it is put right", (f"{each['signal']}: {each['text']}" for each in of["cautions"])
    )


def _mend(of: Shown) -> Iterator[str]:
    by = [" and ".join(of["who"])] if of["who"] else []
    by += [f"{of['minutes']['least']} to {of['minutes']['most']} min"] if "minutes" in of else []
    yield f"{of['text']} ({', '.join(by)})" if by else of["text"]
    yield from (f"in stock: {each['candidates']}" for each in of["boards"] if "candidates" in each)


def _look(of: Shown) -> str:
    return f"{of['name']}, {of['where']}: {of['text']}"
