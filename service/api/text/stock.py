"""Where a board can go, and which boards in stock can go somewhere, in plain lines."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.api.text.lists import page, price, section
from service.domain.terms import Outcome
from service.words import page_texts as texts
from service.words.language import Language
from service.words.step_texts import BY_WHOM

Shown = Mapping[str, Any]


def destinations(of: Shown, said: Language) -> str:
    """Where one board can go."""
    say = said.say
    lines = [say(texts.BOARD, serial=of["serial"])]
    lines += [say(texts.PART, number=each["number"], name=each["name"]) for each in of["parts"]]
    lines.append(of["summary"])
    models = (f"{each['name']:<14} {_answer(each, said)}" for each in of["models"])
    lines += section(say(texts.MODELS), models, said)
    lines += section(say(texts.UNITS_WAITING), (_unit(each, said) for each in of["units"]), said)
    return page(lines, of, said)


def candidates(of: Shown, said: Language) -> str:
    """Boards in stock for one place of a unit."""
    say, unit = said.say, of["unit"]
    models = said.either(unit["models"]) or say(texts.MODEL_NOT_KNOWN)
    lines = [say(texts.UNIT_OF, serial=unit["serial"], models=models)]
    lines += [say(texts.IN_STOCK_FOR, place=_place(of))]
    lines += [of["summary"]] if "summary" in of else []
    lines += section(say(texts.BEST_FIRST), (_candidate(each, said) for each in of["items"]), said)
    of_no_part = (_unidentified(each, said) for each in of["unidentified"])
    lines += section(say(texts.READ_PART_FIRST), of_no_part, said)
    return page(lines, of, said)


def _unidentified(of: Shown, said: Language) -> str:
    parts = said.either(each["number"] for each in of["parts"])
    tested = said.say(texts.TESTED if of["tested"] else texts.NOT_TESTED)
    return said.labelled(f"{of['serial']:<16} {parts}, {tested}", _answer(of, said))


def _candidate(of: Shown, said: Language) -> str:
    say = said.say
    told = [of["part"]["number"], say(texts.BOUNDS[of["bound"]])]
    told += [say(texts.TESTED if of["tested"] else texts.NOT_TESTED)]
    told += [price(of["price"], said) if "price" in of else say(texts.NO_PRICE)]
    held = [say(texts.HOLDERS[name]) for name, word in of["clearance"].items() if word == "held"]
    told += [say(texts.HELD_SHORT, what=each) for each in held]
    return said.labelled(f"{of['serial']:<16} {', '.join(told)}", _answer(of, said))


def _unit(of: Shown, said: Language) -> str:
    held = f" ({said.say(texts.HELD_UNIT)})" if of["clearance"]["unit"] == "held" else ""
    name = f"{of['unit']:<16} {said.either(of['models'])}, {_place(of)}{held}"
    return said.labelled(name, _answer(of, said))


def _answer(of: Shown, said: Language) -> str:
    outcome = said.say(texts.OUTCOMES[of["outcome"]])
    if of["outcome"] != Outcome.FITS_WITH_PROGRAMMING:
        return outcome
    by = said.both(said.say(BY_WHOM[each]) for each in of["programming"]["who"])
    return said.say(texts.BY, outcome=outcome, who=by)


def _place(of: Shown) -> str:
    return f"{of['role']}.{of['place']}" if "place" in of else str(of["role"])
