"""Where a board can go, and which boards in stock can go somewhere, in plain lines."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.api.text.lists import section

Shown = Mapping[str, Any]


def destinations(of: Shown) -> str:
    """Where one board can go."""
    lines = [f"board {of['serial']}", *(f"part {each['number']}, {each['name']}" for each in of["parts"])]
    lines.append(of["summary"])
    lines += section("models", (f"{each['name']:<14} {_answer(each)}" for each in of["models"]))
    lines += section("units that wait for one", map(_unit, of["units"]))
    return _text(lines, of)


def candidates(of: Shown) -> str:
    """Boards in stock for one place of a unit."""
    models = " or ".join(of["unit"]["models"]) or "model not known"
    lines = [f"unit {of['unit']['serial']}: {models}", f"boards in stock for {_place(of)}"]
    lines += [of["summary"]] if "summary" in of else []
    lines += section("best first", map(_candidate, of["items"]))
    return _text(lines, of)


def _candidate(of: Shown) -> str:
    told = [of["part"]["number"], of["bound"].replace("_", " "), "tested" if of["tested"] else "not tested"]
    told += [f"{of['price']['amount']} {of['price']['currency']}"] if "price" in of else ["no price"]
    held = [name for name, word in of["clearance"].items() if word == "held"]
    told += [f"{name} held: ask first" for name in held]
    return f"{of['serial']:<16} {', '.join(told)}: {_answer(of)}"


def _unit(of: Shown) -> str:
    held = " (held: ask first)" if of["clearance"]["unit"] == "held" else ""
    return f"{of['unit']:<16} {' or '.join(of['models'])}, {_place(of)}{held}: {_answer(of)}"


def _answer(of: Shown) -> str:
    by = f" by {' and '.join(of['programming']['who'])}" if of["programming"]["who"] else ""
    return f"{of['outcome'].replace('_', ' ')}{by}"


def _place(of: Shown) -> str:
    return f"{of['role']}.{of['place']}" if "place" in of else str(of["role"])


def _text(lines: list[str], of: Shown) -> str:
    more = ["", f"more: cursor={of['next_cursor']}"] if of["next_cursor"] else []
    return "\n".join([*lines, *more, "", f"catalogue {of['catalogue_revision']}"]) + "\n"
