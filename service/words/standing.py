"""How a board or a unit stands now, and what stands against an event, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from service.domain.facts.records import BLANK, BoardRecord, Hold, UnitRecord
from service.domain.place import Place
from service.domain.terms import Condition, RoleId
from service.words.called import board_called, unit_called
from service.words.event_texts import HOLDS
from service.words.name_texts import ANOTHER_MODEL
from service.words.names import Names
from service.words.recording_texts import BLANK as BLANK_TEXT
from service.words.recording_texts import BOARD_IS, REFUSALS, UNIT_IS


def board_text(record: BoardRecord, names: Names) -> str:
    """How a board stands: its binding, where it is, what is held against it."""
    values = record.binding.values or frozenset()
    facts = {
        "board": board_called(names, _block(record)),
        "a_model": names.a_model(sorted(values - {BLANK}), many=ANOTHER_MODEL),
        "values": names.language.either(
            names.language.say(BLANK_TEXT) if value == BLANK else names.model(value)
            for value in sorted(values)
        ),
        "unit": unit_called(names, record.in_unit) if record.in_unit else "",
        "holds": _held(record.holds, names),
    }
    return " ".join(names.language.say(BOARD_IS[each], **facts) for each in _of_board(record))


def unit_text(record: UnitRecord, names: Names) -> str:
    """How a unit stands: in service or not, its boards, what is held against it."""
    boards = (board_called(names, _block(board)) for board in record.boards.values())
    facts = {
        "unit": unit_called(names, record.serial, record.model),
        "boards": names.language.both(boards),
        "holds": _held(record.holds, names),
    }
    return " ".join(names.language.say(UNIT_IS[each], **facts) for each in _of_unit(record))


def refusal_text(code: str, facts: Mapping[str, str], names: Names) -> str:
    """What stands against an event. `facts` are serials, a place as `bumper.left`, numbers of events."""
    role, _, place = facts.get("place", "").partition(".")
    named = {
        "board": board_called(names, {"board": facts.get("board", "")}),
        "unit": unit_called(names, facts.get("unit", "")),
        "holder": unit_called(names, facts.get("holder", "")),
        "place": names.place(Place(RoleId(role), place)),
        "event": facts.get("event", ""),
        "hold": names.language.say(HOLDS[facts["hold"]]) if "hold" in facts else "",
        "a_model": names.a_model(facts.get("bound_model", "").split(), many=ANOTHER_MODEL),
        "naming": board_called(names, {"board": facts.get("naming", "")}),
        "a_naming_model": names.a_model(facts.get("naming_model", "").split(), many=ANOTHER_MODEL),
    }
    subject = named["board"] if "board" in facts else named["unit"]
    return names.language.say(REFUSALS[code], subject=subject, **named)


def _block(record: BoardRecord) -> dict[str, str]:
    told = {"board": record.serial, "role": record.role, "place": record.place, "part": record.part}
    return {name: value for name, value in told.items() if value}


def _held(holds: Iterable[Hold], names: Names) -> str:
    return names.language.both(
        names.language.say(HOLDS[kind]) for kind in dict.fromkeys(h.kind for h in holds)
    )


def _of_board(record: BoardRecord) -> Iterator[str]:
    yield _binding(record)
    if record.conditions == {Condition.SCRAPPED}:
        yield "scrapped"
    if record.in_unit:
        yield "sits"
    elif record.sold:
        yield "sold"
    else:
        yield "in_custody" if record.in_custody else "away"
    if record.holds:
        yield "held"


def _binding(record: BoardRecord) -> str:
    known = record.binding
    if known.contradiction:
        return "contradictory"
    if known.values is None or known.any_model:
        return "unknown"
    if BLANK not in known.values:
        return "bound"
    return "open" if len(known.values) > 1 else "blank"


def _of_unit(record: UnitRecord) -> Iterator[str]:
    if record.in_service:
        yield "in_service"
    else:
        yield "ended" if record.registered else "not_registered"
    yield "boards" if record.boards else "no_boards"
    if record.holds:
        yield "held"
