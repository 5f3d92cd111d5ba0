"""Gives everything in a picture its place, from top to bottom."""

from __future__ import annotations

from dataclasses import dataclass, field

from service.pictures.boxes import GAP, PAD, card_box, chip, paragraph, placed_card
from service.pictures.columns import rows
from service.pictures.content import Card, Key, Mark, Pair, Picture, Section, Tie, Warned
from service.pictures.measuring import Face, text_width
from service.pictures.palette import Ink
from service.pictures.shapes import Area, Frame, Line, Rule, Shape, Sheet, Sign

WIDTH = 840.0
"""Of the view box. The smallest text is 14, a sixtieth of it."""
MARGIN = 28.0
INNER = WIDTH - 2 * MARGIN
SMALL, USUAL, TITLE, HEADLINE, NAME = 14.0, 16.0, 17.0, 21.0, 28.0
VERDICT_SIGN = 40.0
KEY_SAMPLE = 34.0
ABREAST = 3


@dataclass(slots=True)
class Page:
    """A page that is being filled."""

    y: float = MARGIN
    shapes: list[Shape] = field(default_factory=list)

    def text(self, text: str, size: float, face: Face = Face.PLAIN, ink: Ink = Ink.TEXT) -> None:
        """A paragraph over the whole width."""
        found, self.y = paragraph(text, MARGIN, self.y, INNER, size, face, ink)
        self.shapes += found

    def part(self, title: str) -> None:
        """A line across and the title of what follows."""
        self.shapes.append(Rule(x=MARGIN, y=self.y + GAP, width=INNER))
        self.y += 2 * GAP
        self.text(title, TITLE, Face.BOLD)
        self.y += 6


def laid_out(picture: Picture) -> Sheet:
    """The whole picture."""
    page = Page()
    page.text(picture.title, USUAL, ink=Ink.QUIET)
    page.text(picture.name, NAME, Face.BOLD)
    page.y += GAP
    _verdict(page, picture.mark, picture.headline, picture.summary)
    if picture.held:
        page.y += GAP
        _verdict(page, Mark.IN_THE_WAY, "", picture.held)
    page.y += GAP
    _machine(page, picture)
    if picture.rows:
        found, page.y = rows(picture, MARGIN, page.y, INNER)
        page.shapes += found
    if picture.others:
        _others(page, picture.others_title, picture.others)
    for section in picture.sections:
        _section(page, section)
    if picture.warned:
        _cautions(page, picture.cautions, picture.warned)
    _legend(page, picture.legend, picture.keys)
    page.y += GAP
    page.text(picture.footer, SMALL, ink=Ink.QUIET)
    return Sheet(width=WIDTH, height=page.y + MARGIN, shapes=tuple(page.shapes))


def _verdict(page: Page, mark: Mark, headline: str, text: str) -> None:
    """A box with a mark, what it comes to, and why."""
    x = MARGIN + 3 * PAD + VERDICT_SIGN
    width = INNER - 4 * PAD - VERDICT_SIGN
    top, y = page.y, page.y + PAD
    found: list[Shape] = [Sign(x=MARGIN + 2 * PAD, y=y, size=VERDICT_SIGN, mark=mark)]
    for words, size, face in ((headline, HEADLINE, Face.BOLD), (text, USUAL, Face.PLAIN)):
        lines, y = paragraph(words, x, y, width, size, face)
        found += lines
    bottom = max(y, top + PAD + VERDICT_SIGN) + PAD
    area = Area(x=MARGIN, y=top, width=INNER, height=bottom - top)
    page.shapes += [Frame(area=area, mark=mark), *found]
    page.y = bottom


def _machine(page: Page, picture: Picture) -> None:
    """The box that stands for the machine, with the name of its model in a chip."""
    top, y = page.y, page.y + PAD
    half = INNER / 2 - 2 * PAD
    found, y = paragraph(picture.machine, MARGIN + PAD, y, half, TITLE, Face.BOLD)
    for sentence in picture.identity:
        lines, y = paragraph(sentence, MARGIN + PAD, y, half, USUAL - 1)
        found += lines
    tag, below = chip(picture.chip, MARGIN + INNER / 2 + PAD, top + PAD, half, picture.tie)
    bottom = max(y, below) + PAD
    area = Area(x=MARGIN, y=top, width=INNER, height=bottom - top)
    page.shapes += [Frame(area=area, mark=None), *found, *tag]
    page.y = bottom


def _others(page: Page, title: str, cards: tuple[Card, ...]) -> None:
    """The boards that nothing is asked of, three beside each other."""
    page.part(title)
    width = (INNER - (ABREAST - 1) * GAP) / ABREAST
    for at in range(0, len(cards), ABREAST):
        line = [card_box(card, width) for card in cards[at : at + ABREAST]]
        height = max(box.height for box in line)
        for beside, box in enumerate(line):
            page.shapes += placed_card(box, MARGIN + beside * (width + GAP), page.y, height)
        page.y += height + GAP
    page.y -= GAP


def _section(page: Page, section: Section) -> None:
    page.part(section.title)
    for line in section.lines:
        page.text(line, USUAL)


def _cautions(page: Page, title: str, warned: tuple[Warned, ...]) -> None:
    """Each caution beside its signal word."""
    page.part(title)
    indent = max(text_width(each.signal, USUAL - 1, Face.BOLD) for each in warned) + PAD
    for each in warned:
        signal, after = paragraph(each.signal, MARGIN, page.y, indent, USUAL - 1, Face.BOLD)
        lines, below = paragraph(each.text, MARGIN + indent, page.y, INNER - indent, USUAL - 1)
        page.shapes += [*signal, *lines]
        page.y = max(after, below) + 4


def _legend(page: Page, title: str, keys: tuple[Key, ...]) -> None:
    """What the marks and lines mean, two beside each other."""
    page.part(title)
    width = (INNER - GAP) / 2
    for at in range(0, len(keys), 2):
        bottom = page.y
        for beside, key in enumerate(keys[at : at + 2]):
            x = MARGIN + beside * (width + GAP)
            page.shapes.append(_sample(key.of, x, page.y))
            room = width - KEY_SAMPLE - PAD
            lines, below = paragraph(key.text, x + KEY_SAMPLE + PAD, page.y + 2, room, SMALL)
            page.shapes += lines
            bottom = max(bottom, below, page.y + 24)
        page.y = bottom + 4


def _sample(of: Mark | Tie | Pair, x: float, y: float) -> Shape:
    if isinstance(of, Mark):
        return Sign(x=x + 5, y=y, size=24, mark=of)
    return Line(points=((x, y + 12), (x + KEY_SAMPLE, y + 12)), of=of)
