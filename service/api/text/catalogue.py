"""Models and parts in plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.api.text.lists import page, price, section
from service.words import page_texts as texts
from service.words.amounts import day
from service.words.language import Language
from service.words.names import Names

Shown = Mapping[str, Any]


def models(of: Shown, said: Language) -> str:
    """A page of models."""
    lines = [f"{each['id']:<16} {each['name']}{_covered(each, said)}" for each in of["items"]]
    return page(lines or [said.say(texts.NO_MODEL)], of, said)


def model(one: Shown, names: Names) -> str:
    """One model."""
    said, say = names.language, names.language.say
    title = say(texts.MODEL, name=one["name"], id=one["id"], family=one["family_name"])
    lines = [
        f"{title}{_covered(one, said)}",
        say(texts.SOLD_IN, markets=", ".join(map(names.market, one["markets"]))),
    ]
    lines += section(say(texts.BOARDS), (_role(role, said) for role in one["roles"]), said)
    lines += section(say(texts.ALLOWED), (_allowed(each, names) for each in one["allows"]), said)
    return page(lines, one, said)


def parts(of: Shown, said: Language) -> str:
    """A page of parts."""
    return page([*found_by(of, said), *(part_line(each, said) for each in of["items"])], of, said)


def found_by(of: Shown, said: Language) -> Iterator[str]:
    """What a look-up of parts says besides the parts: where to look first, what carries the function."""
    if "look_first" in of:
        first = of["look_first"]
        text = texts.LOOK_FIRST_CABLE if "cable" in first else texts.LOOK_FIRST
        yield said.say(text, board=first["name"], cable=first.get("cable", ""))
    for each in of["functions"]:
        yield said.say(texts.ON_BOARD, function=each["name"], board=each["board"])
    if not of["items"]:
        yield said.say(texts.NO_PART)


def part_line(one: Shown, said: Language) -> str:
    """A part in one line."""
    told = [f"{one['number']:<12} {one['name']}"]
    told += [price(one["price"], said)] if "price" in one else []
    told += [said.say(texts.DAYS, days=str(one["lead_days"]))] if "lead_days" in one else []
    told += [said.say(texts.ORDER_INSTEAD, parts=said.either(one["current"]))] if one["superseded"] else []
    return "  ".join(told)


def part(one: Shown, said: Language) -> str:
    """One part."""
    say = said.say
    lines = [
        part_line(one, said),
        say(texts.ROLE, role=one["role_name"]),
        say(texts.PRINTED, numbers=_list(one["printed"], said)),
        say(texts.TAKES_PLACE_OF, parts=_list([row["part"] for row in one["replaces"]], said)),
    ]
    rows = [_row(one, row, said) for row in one["listed_for"]] or [say(texts.NOTHING_LISTED)]
    lines += section(say(texts.MAY_GO_INTO), rows, said)
    with_it = (f"{each['number']:<12} {each['name']}" for each in one["goes_with"])
    lines += section(say(texts.ALSO_TAKES), with_it, said)
    return page(lines, one, said)


def _role(of: Shown, said: Language) -> str:
    left_out = "" if of["required"] else f" ({said.say(texts.MAY_BE_LEFT_OUT)})"
    return f"{of['role']:<10} {of['name']}, {of['where']}{left_out}"


def _allowed(of: Shown, names: Names) -> str:
    said = names.language
    counted = names.catalogue.capabilities[of["capability"]].is_count
    amount = str(of["amount"]) if counted else said.say(texts.ABILITY["yes" if of["amount"] else "no"])
    told = said.labelled(of["name"], amount)
    return f"{told} ({said.say(texts.PLANNED)})" if of["planned"] else told


def _row(one: Shown, row: Shown, said: Language) -> str:
    """A model that a part may go into, with its break and the part by whose listing it may."""
    bounds = [
        said.say(text, bound=day(row[name], said)) for name, text in texts.BREAKS.items() if name in row
    ]
    told = [row["model"], *([said.both(bounds)] if bounds else [])]
    told += [] if row["through"] == one["number"] else [said.say(texts.IN_PLACE_OF, part=row["through"])]
    return ", ".join(told)


def _list(items: Sequence[str], said: Language) -> str:
    return ", ".join(items) or said.say(texts.NONE)


def _covered(one: Shown, said: Language) -> str:
    return "" if one["covered"] else f"  ({said.say(texts.NOT_COVERED)})"
