"""Units and boards in plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.catalogue import part_line
from service.api.text.lists import about, section
from service.api.text.refusal import if_it_refuses

Shown = Mapping[str, Any]

AGREEMENTS = {
    "agree": "its boards agree, as far as known",
    "not_introduced": "its boards still have to be programmed to work together",
    "disagree": "its boards disagree: one was programmed for another model",
    "incomplete": "a board that it needs is missing or not the right one",
    "unknown": "whether its boards agree cannot be told yet",
}


def unit(of: Shown) -> str:
    """One unit."""
    lines = [*_identity(of), AGREEMENTS[of["agreement"]], of["summary"]]
    lines += if_it_refuses(of["if_it_refuses"]) if "if_it_refuses" in of else ()
    lines += section("boards", map(_place, of["boards"]))
    lines += section("can do", (_ability(each) for each in of["capabilities"].values()))
    lines += about(of)
    return _text(lines, of)


def parts(of: Shown) -> str:
    """The parts of one unit."""
    lines = list(_identity(of["unit"]))
    if "look_first" in of:
        cable = f" and its {of['look_first']['cable']}" if "cable" in of["look_first"] else ""
        lines.append(f"look first at the {of['look_first']['name']}{cable}: these faults have it in common")
    lines += [f"{each['name']}: on the {each['role']} board" for each in of["functions"]]
    lines += [f"{part_line(each)}{_perhaps(each)}" for each in of["items"]] or ["no part is listed for that"]
    return _text(lines, of)


def board(of: Shown) -> str:
    """One board."""
    lines = [f"board {of['serial']}", *_decoded(of["decoded"])]
    lines += [f"part {each['number']}, {each['name']}" for each in of["parts"]]
    if not of["recorded"]:
        return _text([*lines, "nothing is recorded of it"], of)
    bound = [*of.get("bound_models", []), *(["blank"] if of.get("may_be_blank") else [])]
    lines.append(f"binding: {' or '.join(bound) or 'not known'}")
    lines.append(f"condition: {' or '.join(of['conditions'])}")
    if "fitted_in" in of:
        lines.append(f"fitted in {of['fitted_in']['unit']} as {_place_name(of['fitted_in'])}")
    if of["clearance"] == "held":
        lines.append("held: ask before selling or programming")
    return _text(lines, of)


def _identity(of: Shown) -> Iterator[str]:
    yield f"unit {of['serial']}: {' or '.join(of['models']) or 'model not known'}"
    yield from _decoded(of.get("decoded", {"readable": True}))
    if of["identity_conflict"]:
        yield "what is known of its identity does not agree: clear that up first"
    if not of["recorded"]:
        yield "nothing is recorded of it"


def _decoded(of: Shown) -> Iterator[str]:
    if of["readable"]:
        yield from (f"made {span['first']} to {span['last']}" for span in of.get("made", ()))
    elif "read_again" in of:
        places = ", ".join(map(str, of["read_again"]["suspects"] or of["read_again"]["positions"]))
        yield f"the serial cannot be right: read character {places} again"
    else:
        yield "no serial of this shape is known"


def _place(of: Shown) -> str:
    if of["state"] == "empty":
        return f"{_place_name(of):<14} empty"
    told = [of["serial"]] if "serial" in of else []
    told += [" or ".join(of["parts"])] if of["parts"] else []
    told += [f"bound to {' or '.join(of['bindings'])}"] if "bindings" in of else []
    return f"{_place_name(of):<14} {', '.join(told)}{'' if of['state'] == 'recorded' else ' (as made)'}"


def _place_name(of: Shown) -> str:
    return f"{of['role']}.{of['place']}" if "place" in of else str(of["role"])


def _ability(of: Shown) -> str:
    if "available" in of:
        return f"{of['name']}: {of['available']}"
    span = str(of["least"]) if of["least"] == of["most"] else f"{of['least']} to {of['most']}"
    return f"{of['name']}: {span}"


def _perhaps(of: Shown) -> str:
    return "" if of["certain"] else "  (depending on what is not known of the unit)"


def _text(lines: list[str], of: Shown) -> str:
    return "\n".join([*lines, "", f"catalogue {of['catalogue_revision']}"]) + "\n"
