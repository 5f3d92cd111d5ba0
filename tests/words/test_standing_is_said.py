"""How boards and machines stand, and what stands against an event, is said in whole sentences."""

from __future__ import annotations

from collections.abc import Iterator
from string import Formatter

import pytest

from service.demo import serials as s
from service.demo.world import demo_catalogue
from service.domain.facts.records import BindingRecord, BoardRecord, Hold, UnitRecord
from service.domain.recording.legality import CODES
from service.domain.terms import Condition, ModelId, PartNumber, RoleId
from service.papers import read_catalogue
from service.words import recording_texts as texts
from service.words.language import Language, language
from service.words.names import Names
from service.words.standing import board_text, refusal_text, unit_text
from tests.words.test_nothing_is_said_past_gettext import Bracketed, outside

NAMES = Names(read_catalogue(demo_catalogue()), language("en"))
BRACKETED = Names(NAMES.catalogue, Language("xx", Bracketed()))

BOARD = BoardRecord(serial=s.BLANK_MAIN, version=3, part=PartNumber("MN-4100"), in_custody=True)
SEATED = BOARD._replace(in_unit=s.CUSTOMER_PLOVER_40, role=RoleId("main"), in_custody=False)
UNIT = UnitRecord(serial=s.CUSTOMER_PLOVER_40, version=2, registered=True, in_service=True)
STOLEN = (Hold(kind="reported_stolen", since=7), Hold(kind="under_query", since=9))


def bound(*values: str, contradiction: bool = False) -> BindingRecord:
    return BindingRecord(values=frozenset(values), contradiction=contradiction)


BOARDS = {
    "is blank. It is in the shop.": BOARD._replace(binding=bound("blank")),
    "is bound to a Plover 40, permanently. It sits in the Plover 40": SEATED._replace(
        binding=bound("plover-40")
    ),
    "is blank or bound to a Plover 40; which, is not known.": SEATED._replace(
        binding=bound("blank", "plover-40")
    ),
    "is not known. It is in the shop.": BOARD,
    "bound to is not known. It is not in the shop.": BOARD._replace(
        binding=BindingRecord(values=frozenset(), any_model=True), in_custody=False
    ),
    "contradicts itself: blank or Plover 60.": BOARD._replace(
        binding=bound("blank", "plover-60", contradiction=True)
    ),
    "It was sold.": BOARD._replace(sold=True, in_custody=False),
    "It was scrapped.": BOARD._replace(conditions=frozenset({Condition.SCRAPPED})),
    "It is held: reported stolen and under query.": BOARD._replace(holds=STOLEN),
}
UNITS = {
    "is registered and in service. No board is recorded in it.": UNIT,
    "is not in service any more.": UNIT._replace(in_service=False),
    "is not registered.": UNIT._replace(registered=False, in_service=False),
    f"Recorded in it: main board {s.BLANK_MAIN}.": UNIT._replace(boards={(RoleId("main"), ""): SEATED}),
    "It is held: reported stolen and under query.": UNIT._replace(holds=STOLEN, model=ModelId("plover-40")),
}


@pytest.mark.parametrize("part", BOARDS)
def test_how_a_board_stands(part: str) -> None:
    assert part in board_text(BOARDS[part], NAMES)
    assert board_text(BOARDS[part], NAMES).split(s.BLANK_MAIN)[0].endswith("main board ")
    assert outside(board_text(BOARDS[part], BRACKETED)).strip() == ""


@pytest.mark.parametrize("part", UNITS)
def test_how_a_machine_stands(part: str) -> None:
    text = unit_text(UNITS[part], NAMES)
    assert part in text
    assert text.startswith(f"The Plover 40 {s.CUSTOMER_PLOVER_40} ")
    assert outside(unit_text(UNITS[part], BRACKETED)).strip() == ""


FACTS = {
    "board": s.BLANK_MAIN,
    "unit": s.CUSTOMER_PLOVER_40,
    "place": "bumper.left",
    "event": "12",
    "hold": "recalled",
    "holder": s.CUSTOMER_PLOVER_60,
    "bound_model": "plover-40 plover-60",
    "naming": s.USED_MAIN_60,
    "naming_model": "plover-60",
}
"""Everything that a refusal may tell."""


@pytest.mark.parametrize("code", CODES)
def test_what_stands_against_an_event(code: str) -> None:
    text = refusal_text(code, FACTS, NAMES)
    assert text[0].isupper()
    assert text.endswith(".")
    assert "{" not in text
    assert outside(refusal_text(code, FACTS, BRACKETED)).strip() == ""


def test_a_board_is_refused_by_its_name() -> None:
    assert refusal_text("bound_to_other_model", FACTS, NAMES) == (
        f"The main board {s.BLANK_MAIN} is bound to a Plover 40 or a Plover 60, permanently."
    )


def test_every_text_is_said_sometime() -> None:
    heard = set(_heard())
    for table in (texts.BOARD_IS, texts.UNIT_IS, texts.REFUSALS):
        assert set(table.values()) - heard == set()


def _heard() -> Iterator[str]:
    class Listening(Bracketed):
        said: list[str]

        def gettext(self, message: str) -> str:
            self.said.append(message)
            return message

    listening = Listening()
    listening.said = []
    names = Names(NAMES.catalogue, Language("xx", listening))
    for board in BOARDS.values():
        board_text(board, names)
    for unit in UNITS.values():
        unit_text(unit, names)
    for code in CODES:
        refusal_text(code, FACTS, names)
    yield from listening.said


def test_refusals_speak_of_the_facts_that_are_given() -> None:
    spoken = {name for text in texts.REFUSALS.values() for _, name, _, _ in Formatter().parse(text) if name}
    assert spoken <= {*FACTS, "subject", "a_model", "a_naming_model"}
