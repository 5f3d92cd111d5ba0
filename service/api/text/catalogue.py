"""Models and parts in plain lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


def models(page: Mapping[str, Any]) -> str:
    """A page of models."""
    lines = [f"{each['id']:<16} {each['name']}{_covered(each)}" for each in page["items"]]
    return _text(lines or ["no model"], page)


def model(one: Mapping[str, Any]) -> str:
    """One model."""
    lines = [f"{one['name']} ({one['id']}), family {one['family_name']}{_covered(one)}"]
    lines += [f"sold in: {', '.join(one['markets'])}", "", "boards:"]
    lines += [
        f"  {role['role']:<10} {role['name']}, {role['where']}{_optional(role)}" for role in one["roles"]
    ]
    lines += ["", "allowed:"]
    lines += [f"  {each['name']}: {each['amount']}{' (planned)' * each['planned']}" for each in one["allows"]]
    return _text(lines, one)


def parts(page: Mapping[str, Any]) -> str:
    """A page of parts."""
    lines = []
    if "look_first" in page:
        lines.append(_look_first(page["look_first"]))
    lines += [f"{each['name']}: on the {each['role']} board" for each in page["functions"]]
    lines += [part_line(each) for each in page["items"]] or ["no part is listed for that"]
    return _text(lines, page)


def part_line(one: Mapping[str, Any]) -> str:
    """A part in one line."""
    price = f"  {_money(one['price'])}" if "price" in one else ""
    days = f"  {one['lead_days']} days" if "lead_days" in one else ""
    instead = f"  order {' or '.join(one['current'])} instead" if one["superseded"] else ""
    return f"{one['number']:<12} {one['name']}{price}{days}{instead}"


def part(one: Mapping[str, Any]) -> str:
    """One part."""
    lines = [part_line(one), f"role: {one['role_name']}", f"printed on the board: {_list(one['printed'])}"]
    lines += [f"takes the place of: {_list([row['part'] for row in one['replaces']])}"]
    lines += ["", "may go into:"]
    lines += [f"  {row['model']}{_break(row)}{_through(one, row)}" for row in one["listed_for"]] or [
        "  nothing listed"
    ]
    if one["goes_with"]:
        lines += ["", "a swap also takes:"]
        lines += [f"  {each['number']:<12} {each['name']}" for each in one["goes_with"]]
    return _text(lines, one)


def _look_first(shared: Mapping[str, Any]) -> str:
    cable = f" and its {shared['cable']}" if "cable" in shared else ""
    return f"look first at the {shared['name']}{cable}: these faults have it in common"


def _break(row: Mapping[str, Any]) -> str:
    told = []
    for axis, what in (("serial", "plate serial"), ("date", "made")):
        if f"{axis}_from" in row:
            told.append(f"{what} from {row[f'{axis}_from']}")
        if f"{axis}_before" in row:
            told.append(f"{what} before {row[f'{axis}_before']}")
    return f", {' and '.join(told)}" if told else ""


def _through(one: Mapping[str, Any], row: Mapping[str, Any]) -> str:
    return "" if row["through"] == one["number"] else f", in place of {row['through']}"


def _money(price: Mapping[str, str]) -> str:
    return f"{price['amount']} {price['currency']}"


def _list(texts: Sequence[str]) -> str:
    return ", ".join(texts) or "none"


def _covered(one: Mapping[str, Any]) -> str:
    return "" if one["covered"] else "  (known, not covered: no answers about it)"


def _optional(role: Mapping[str, Any]) -> str:
    return "" if role["required"] else " (may be left out)"


def _text(lines: Sequence[str], of: Mapping[str, Any]) -> str:
    more = ["", f"more: cursor={of['next_cursor']}"] if of.get("next_cursor") else []
    return "\n".join([*lines, *more, "", f"catalogue {of['catalogue_revision']}"]) + "\n"
