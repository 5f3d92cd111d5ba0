"""A picture shows what the answer says, without colour as well as with it, and says all that it shows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta, timezone

import pytest

from service.api.asking import question
from service.api.schemas.question import FitQuestion
from service.demo import serials as s
from service.domain.terms import Means
from service.pictures.content import Card, Mark, Pair, Picture, Tie
from service.pictures.layout import laid_out
from service.pictures.shapes import Area, Chip, Frame, Line, Shape, Sheet, Sign, Text
from service.pictures.svg import drawn_shape
from service.pictures.telling import fit_picture
from service.words.names import named
from tests.pictures.shown import answers, fit_shown, some_pictures, unit_shown
from tests.trade.shops import shop

DEMO = shop("demo")
NAMES = named(DEMO.compiled.catalogue, "en")


def unit(serial: str, means: Means = Means.COUNTER) -> Picture:
    return unit_shown(DEMO, NAMES, serial, means)


def fit(board: str, unit: str, **more: str) -> Picture:
    return fit_shown(DEMO, NAMES, boards=[{"serial": board}], unit={"serial": unit}, **more)


def cards(of: Picture) -> Iterator[Card]:
    for row in of.rows:
        yield from (card for card in (row.before, row.after) if card is not None)
    yield from of.others


def told(of: Card) -> tuple[Mark, str, Tie | None, Pair | None]:
    return of.mark, of.chip, of.tie, of.pair


def test_a_machine_whose_boards_disagree() -> None:
    picture = unit(s.DISAGREEING_PLOVER_40)
    main, panel = (row.before for row in picture.rows)
    assert main is not None
    assert panel is not None
    assert told(main) == (Mark.IN_THE_WAY, "Plover 60", Tie.OTHER, None)
    assert told(panel) == (Mark.IN_ORDER, "Plover 40", Tie.SAME, Pair.NOT_INTRODUCED)
    assert picture.mark is Mark.IN_THE_WAY
    assert [section.title for section in picture.sections] == ["What puts it right"]


def test_a_machine_of_which_all_is_recorded() -> None:
    picture = unit(s.FULLY_RECORDED_PLOVER_60)
    assert {card.mark for card in cards(picture)} == {Mark.IN_ORDER}
    assert all(card.serial for card in cards(picture))
    assert picture.sections == ()


def test_an_own_board_that_must_not_be_used_stands_in_the_way() -> None:
    main = {"role": "main", "claimed": {"condition": "exposed"}}
    shown = fit_shown(
        DEMO,
        NAMES,
        boards=[{"serial": s.BLANK_PANEL_24}],
        unit={"serial": s.CUSTOMER_PLOVER_40, "boards": [main]},
    )
    before, after = shown.rows[0].before, shown.rows[0].after
    assert before is not None
    assert after is not None
    assert (before.mark, after.mark) == (Mark.IN_THE_WAY, Mark.IN_THE_WAY)


def test_a_machine_of_which_nothing_is_recorded() -> None:
    picture = unit(s.CUSTOMER_PLOVER_40)
    assert {card.mark for card in cards(picture)} == {Mark.AS_MADE}
    assert picture.mark is Mark.IN_ORDER


def test_a_place_without_a_board() -> None:
    main = unit(s.WAITING_PLOVER_40).rows[0].before
    assert main is not None
    assert (main.mark, main.facts, main.serial, main.chip) == (
        Mark.IN_THE_WAY,
        ("No board sits here.",),
        "",
        "",
    )


def test_a_candidate_of_another_model() -> None:
    picture = fit(s.USED_MAIN_60, s.CUSTOMER_PLOVER_40)
    main = picture.rows[0]
    assert main.before is not None
    assert main.after is not None
    assert told(main.before) == (Mark.AS_MADE, "Plover 40", Tie.SAME, None)
    assert told(main.after) == (Mark.IN_THE_WAY, "Plover 60", Tie.OTHER, None)
    assert (main.before.state, main.after.state) == (
        "comes out, taken to be as made",
        "goes in, stands in the way",
    )
    panel = picture.rows[1]
    assert panel.before is not None
    assert panel.after is not None
    assert (panel.before.pair, panel.after.pair) == (Pair.INTRODUCED, Pair.NOT_INTRODUCED)


def test_what_mends_a_machine_that_disagrees() -> None:
    picture = fit(s.USED_MAIN_40, s.DISAGREEING_PLOVER_40)
    main = picture.rows[0]
    assert main.before is not None
    assert main.after is not None
    assert (main.before.tie, main.after.tie) == (Tie.OTHER, Tie.SAME)
    assert any("satellite mapping" in line for section in picture.sections for line in section.lines)


def test_a_candidate_of_unknown_history() -> None:
    picture = fit(s.USED_MAIN_UNKNOWN, s.CUSTOMER_CURLEW_20)
    after = picture.rows[0].after
    assert after is not None
    assert told(after) == (Mark.NOT_KNOWN, "not known", Tie.OPEN, None)
    assert picture.mark is Mark.NOT_KNOWN


def test_without_assumptions_nothing_is_taken_to_be_as_made() -> None:
    picture = fit(s.BLANK_MAIN, s.CUSTOMER_PLOVER_40, assume="nothing")
    assert Mark.AS_MADE not in {card.mark for card in cards(picture)}
    assert {card.mark for card in picture.others} == {Mark.NOT_KNOWN}


def test_a_moment_in_the_past_is_told_in_utc() -> None:
    asked = question(FitQuestion().load({"boards": [{"serial": s.USED_MAIN_60}]}))
    night = datetime(2026, 7, 1, 0, 30, tzinfo=timezone(timedelta(hours=2)))
    picture = fit_picture(*answers(DEMO, asked), NAMES, night)
    assert "This is what was known on 2026-06-30 at 22:30 UTC." in picture.identity


def test_what_is_held_is_said_above_all() -> None:
    picture = fit(s.STOLEN_MAIN, s.CUSTOMER_PLOVER_60)
    assert picture.held.startswith("HELD")
    assert picture.held in picture.aloud
    assert not fit(s.USED_MAIN_60, s.CUSTOMER_PLOVER_60).held


def test_a_customer_sees_no_bench_and_no_other_machine() -> None:
    """The serial number that a used board still carries is somebody else's machine."""
    staff = fit(s.USED_MAIN_40, s.CUSTOMER_PLOVER_40, means="bench")
    customer = fit(s.USED_MAIN_40, s.CUSTOMER_PLOVER_40, means="customer")
    assert s.DONOR_PLOVER_40 in staff.aloud
    assert s.DONOR_PLOVER_40 not in customer.aloud
    assert "It carries the serial number of another machine." in customer.aloud
    opening, manual = (each.text for each in customer.warned)
    assert opening.startswith("Do not open the machine yourself")
    assert manual.startswith("The maker's manual")
    assert len(staff.warned) > len(customer.warned)


def test_everything_that_is_shown_is_said() -> None:
    """Each text of a picture is in its description; the legend, which explains marks, is what they are
    called there."""
    for name, picture in some_pictures():
        keys = {key.text for key in picture.keys} | {picture.legend}
        heard = (
            squeezed(picture.aloud) + squeezed(f"{picture.title}: {picture.name}") + squeezed(" ".join(keys))
        )
        missing = [each for each in paragraphs(laid_out(picture)) if squeezed(each) not in heard]
        chips = {card.chip for card in cards(picture)} | {picture.chip}
        assert set(missing) <= chips, (name, missing)


def paragraphs(sheet: Sheet) -> Iterable[str]:
    return [shape.text for shape in sheet.shapes if isinstance(shape, Text)]


def squeezed(text: str) -> str:
    return re.sub(r"[ \t\n]+", " ", text)


def test_what_a_chip_says_is_said_in_a_sentence_too() -> None:
    """Unless it is one of several, or open."""
    for name, picture in some_pictures():
        for card in cards(picture):
            if card.chip and card.tie is not Tie.OPEN and card.chip != "not known":
                assert any(card.chip in fact for fact in card.facts) or picture.language != "en", (name, card)


def colourless(shape: Shape) -> str:
    """What is drawn, its colours aside."""
    text = "".join(drawn_shape(shape))
    return re.sub(r'class="[^"]*"|(fill|stroke)="#[0-9a-f]{6}"|boardfit-', "", text)


AREA = Area(x=10, y=10, width=200, height=100)


@pytest.mark.parametrize(
    "shapes",
    [
        [Sign(x=0, y=0, size=24, mark=mark) for mark in Mark],
        [Frame(area=AREA, mark=mark) for mark in Mark],
        [Chip(area=AREA, tie=tie) for tie in Tie],
        [Line(points=((0, 10), (40, 10)), of=of) for of in (*Tie, *Pair)],
        [Frame(area=AREA, mark=Mark.IN_ORDER, strong=strong) for strong in (True, False)],
    ],
    ids=["signs", "frames", "chips", "lines", "what goes in"],
)
def test_each_is_known_without_its_colour(shapes: list[Shape]) -> None:
    seen = {colourless(shape) for shape in shapes}
    alike = len(shapes) - len(seen)
    # A line that does not hold is cut in the same way, whatever does not hold; so is one that is not known.
    assert alike == (2 if any(isinstance(shape, Line) for shape in shapes) else 0)
