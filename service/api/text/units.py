"""Units and boards in plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.catalogue import found_by, part_line
from service.api.text.lists import about, page, section
from service.api.text.refusal import if_it_refuses
from service.words import page_texts as texts
from service.words.amounts import day
from service.words.language import Language

Shown = Mapping[str, Any]


def unit(of: Shown, said: Language) -> str:
    """One unit."""
    say = said.say
    lines = [*_identity(of, said), say(texts.AGREEMENTS[of["agreement"]]), of["summary"]]
    lines += if_it_refuses(of["if_it_refuses"], said) if "if_it_refuses" in of else ()
    lines += section(say(texts.BOARDS), (_place(each, said) for each in of["boards"]), said)
    lines += section(say(texts.CAN_DO), (_ability(each, said) for each in of["capabilities"].values()), said)
    # A caution that stands above, with what puts the unit right, is not said a second time.
    told = of["if_it_refuses"]["cautions"] if "if_it_refuses" in of else ()
    lines += about({**of, "cautions": [each for each in of["cautions"] if each not in told]}, said)
    return page(lines, of, said)


def parts(of: Shown, said: Language) -> str:
    """The parts of one unit."""
    listed = (f"{part_line(each, said)}{_perhaps(each, said)}" for each in of["items"])
    return page([*_identity(of["unit"], said), *found_by(of, said), *listed], of, said)


def board(of: Shown, said: Language) -> str:
    """One board."""
    say = said.say
    lines = [say(texts.BOARD, serial=of["serial"]), *_decoded(of["decoded"], said)]
    lines += [say(texts.PART, number=each["number"], name=each["name"]) for each in of["parts"]]
    if not of["recorded"]:
        return page([*lines, say(texts.NOT_RECORDED)], of, said)
    bound = [*of.get("bound_models", []), *([say(texts.BLANK)] if of.get("may_be_blank") else [])]
    lines.append(say(texts.BINDING, binding=said.either(bound) or say(texts.NOT_KNOWN)))
    conditions = said.either(say(texts.CONDITIONS[each]) for each in of["conditions"])
    lines.append(say(texts.CONDITION, conditions=conditions))
    if "fitted_in" in of:
        place = _place_name(of["fitted_in"])
        lines.append(say(texts.FITTED_IN, unit=of["fitted_in"]["unit"], place=place))
    if of["clearance"] == "held":
        lines.append(say(texts.HELD))
    return page(lines, of, said)


def _identity(of: Shown, said: Language) -> Iterator[str]:
    models = said.either(of["models"]) or said.say(texts.MODEL_NOT_KNOWN)
    yield said.say(texts.UNIT_OF, serial=of["serial"], models=models)
    yield from _decoded(of.get("decoded", {"readable": True}), said)
    if of["identity_conflict"]:
        yield said.say(texts.IDENTITY_CONFLICT)
    if not of["recorded"]:
        yield said.say(texts.NOT_RECORDED)


def _decoded(of: Shown, said: Language) -> Iterator[str]:
    if of["readable"]:
        for span in of.get("made", ()):
            yield said.say(texts.MADE, first=day(span["first"], said), last=day(span["last"], said))
    elif "read_again" in of:
        places = ", ".join(map(str, of["read_again"]["suspects"] or of["read_again"]["positions"]))
        yield said.say(texts.READ_AGAIN, places=places)
    else:
        yield said.say(texts.NO_SHAPE)


def _place(of: Shown, said: Language) -> str:
    if of["state"] == "empty":
        return f"{_place_name(of):<14} {said.say(texts.EMPTY)}"
    told = [of["serial"]] if "serial" in of else []
    told += [said.either(of["parts"])] if of["parts"] else []
    if "bindings" in of:
        told.append(said.say(texts.BOUND_TO, models=said.either(_bound(of["bindings"], said))))
    as_made = "" if of["state"] == "recorded" else f" ({said.say(texts.AS_MADE)})"
    return f"{_place_name(of):<14} {', '.join(told)}{as_made}"


def _bound(values: list[str], said: Language) -> Iterator[str]:
    """Models, with the word for a board that is bound to none yet."""
    yield from (said.say(texts.BLANK) if value == texts.BLANK else value for value in values)


def _place_name(of: Shown) -> str:
    return f"{of['role']}.{of['place']}" if "place" in of else str(of["role"])


def _ability(of: Shown, said: Language) -> str:
    if "available" in of:
        told = said.say(texts.ABILITY[of["available"]])
    elif of["least"] == of["most"]:
        told = str(of["least"])
    else:
        told = said.say(texts.FROM_TO, least=str(of["least"]), most=str(of["most"]))
    return said.labelled(of["name"], told)


def _perhaps(of: Shown, said: Language) -> str:
    return "" if of["certain"] else f"  ({said.say(texts.PERHAPS)})"
