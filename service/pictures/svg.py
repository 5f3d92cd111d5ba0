"""Draws a picture that has been laid out, as SVG 1.1.

No script, no font, nothing from elsewhere. Colours are presentation attributes for light surroundings; the
one style sheet changes them for dark ones, on screens only. Equal pictures are equal byte for byte.
"""

from __future__ import annotations

import hashlib
import re
from base64 import b64encode
from collections.abc import Iterator
from typing import assert_never

from service.pictures import signs
from service.pictures.content import Mark, Pair, Picture, Tie
from service.pictures.layout import laid_out
from service.pictures.marking import amount, element, filled, points, stroked
from service.pictures.measuring import Face
from service.pictures.palette import DARK, OF_MARK, Ink
from service.pictures.shapes import Arrow, Chip, Frame, Line, Rule, Shape, Sign, Text

_IN_THE_DARK = "".join(
    f".bf-f-{ink}{{fill:{colour}}}.bf-s-{ink}{{stroke:{colour}}}" for ink, colour in DARK.items()
)
STYLE = f"@media screen and (prefers-color-scheme:dark){{{_IN_THE_DARK}}}"
STYLE_HASH = f"sha256-{b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()}"
"""By which a Content-Security-Policy lets this style sheet in and no other."""
FAMILIES = {Face.PLAIN: "sans-serif", Face.BOLD: "sans-serif", Face.MONO: "monospace"}
BAND = 10
DASHES = {Mark.NOT_KNOWN: "7 5", Mark.EMPTY: "2 5"}
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML document may hold (XML 1.0 section 2.2)."""


def drawn(picture: Picture) -> str:
    """The whole document."""
    return "\n".join(_document(picture)) + "\n"


def _document(picture: Picture) -> Iterator[str]:
    sheet = laid_out(picture)
    # Of its own for each picture: several may stand in one page.
    own = hashlib.sha256(picture.aloud.encode(errors="replace")).hexdigest()[:12]
    box = f"0 0 {amount(sheet.width)} {amount(sheet.height)}"
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" '
        f'xml:lang="{picture.language}" lang="{picture.language}" '
        f'aria-labelledby="title-{own} desc-{own}">'
    )
    yield f'<title id="title-{own}">{escaped(f"{picture.title}: {picture.name}")}</title>'
    yield f'<desc id="desc-{own}">{escaped(picture.aloud)}</desc>'
    yield f"<style>{STYLE}</style>"
    yield from signs.patterns()
    yield element("rect", width=sheet.width, height=sheet.height, **filled(Ink.PAPER))
    for shape in sheet.shapes:
        yield from drawn_shape(shape)
    yield "</svg>"


def escaped(text: str) -> str:
    """A text as the content of an element. What XML cannot hold becomes U+FFFD."""
    plain = _NOT_XML.sub("\ufffd", text)
    return plain.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def drawn_shape(shape: Shape) -> Iterator[str]:
    """One shape."""
    match shape:
        case Text():
            yield _text(shape)
        case Frame():
            yield from _frame(shape)
        case Chip():
            yield from _chip(shape)
        case Sign():
            yield from signs.sign(shape)
        case Line():
            yield from _line(shape)
        case Arrow(area=area):
            middle, head = area.y + area.height / 2, area.right - 14
            outline = (
                (area.x, middle - 4),
                (head, middle - 4),
                (head, area.y),
                (area.right, middle),
                (head, area.bottom),
                (head, middle + 4),
                (area.x, middle + 4),
            )
            yield element("polygon", points=points(outline), **filled(Ink.LINE))
        case Rule():
            yield element(
                "path",
                d=f"M{amount(shape.x)} {amount(shape.y)}h{amount(shape.width)}",
                **stroked(Ink.LINE, 1),
            )
        case _:
            assert_never(shape)


def _text(shape: Text) -> str:
    weight = ' font-weight="bold"' if shape.face is Face.BOLD else ""
    return (
        f'<text x="{amount(shape.x)}" y="{amount(shape.y)}" font-family="{FAMILIES[shape.face]}" '
        f'font-size="{amount(shape.size)}"{weight} {signs.fill(shape.ink)}>{escaped(shape.text)}</text>'
    )


def _frame(shape: Frame) -> Iterator[str]:
    area, mark = shape.area, shape.mark
    place = {"x": area.x, "y": area.y, "width": area.width, "height": area.height}
    if mark is None:
        yield element("rect", **place, rx=14, **filled(Ink.CARD), **stroked(Ink.LINE, 2.5))
        return
    yield element("rect", **place, rx=4, **filled(Ink.CARD))
    band = signs.BANDS[mark]
    if band is not None:
        yield element("rect", **{**place, "width": BAND}, rx=2, **band)
    width = 4 if shape.strong else 2.5 if mark is Mark.IN_THE_WAY else 1.5
    dash = {"stroke_dasharray": DASHES[mark]} if mark in DASHES else {}
    yield element("rect", **place, rx=4, fill="none", **stroked(OF_MARK[mark], width), **dash)


def _chip(shape: Chip) -> Iterator[str]:
    """Round for the machine's own model, with hatched points for another, broken while it is open."""
    area = shape.area
    place = {"x": area.x, "y": area.y, "width": area.width, "height": area.height}
    match shape.tie:
        case Tie.OTHER:
            middle, cut = area.y + area.height / 2, 10
            left, right = area.x + cut, area.right - cut
            outline = (
                (area.x, middle),
                (left, area.y),
                (right, area.y),
                (area.right, middle),
                (right, area.bottom),
                (left, area.bottom),
            )
            yield element("polygon", points=points(outline), **filled(Ink.PAPER), **stroked(Ink.BAD, 2.5))
            for tip, side in ((area.x, left), (area.right, right)):
                corner = ((tip, middle), (side, area.y), (side, area.bottom))
                yield element("polygon", points=points(corner), **filled(Ink.BAD))
        case Tie.OPEN:
            yield element(
                "rect", **place, **filled(Ink.PAPER), **stroked(Ink.OPEN, 2), stroke_dasharray="6 4"
            )
        case _:
            round_ends = min(area.height / 2, 15)
            yield element("rect", **place, rx=round_ends, **filled(Ink.PAPER), **stroked(Ink.GOOD, 2))


def _line(shape: Line) -> Iterator[str]:
    path = "M" + "L".join(f"{amount(x)} {amount(y)}" for x, y in shape.points)
    ends = shape.points[0], shape.points[-1]
    match shape.of:
        case None:
            yield element("path", d=path, fill="none", **stroked(Ink.LINE, 2))
        case Tie.SAME:
            yield element("path", d=path, fill="none", **stroked(Ink.GOOD, 3))
            yield element("circle", cx=ends[1][0] - 5, cy=ends[1][1], r=5, **filled(Ink.GOOD))
        case Tie.OTHER | Pair.NOT_INTRODUCED:
            ink = Ink.BAD if isinstance(shape.of, Tie) else Ink.DO
            yield element("path", d=path, fill="none", **stroked(ink, 2.5))
            yield from signs.cut(shape.points, ink)
        case Tie.OPEN | Pair.NOT_KNOWN:
            dots = {"stroke_dasharray": "0.1 6", "stroke_linecap": "round"}
            yield element("path", d=path, fill="none", **stroked(Ink.OPEN, 3.5), **dots)
        case Pair.INTRODUCED:
            yield element("path", d=path, fill="none", **stroked(Ink.GOOD, 6))
            yield element("path", d=path, fill="none", **stroked(Ink.PAPER, 2))
        case _:
            assert_never(shape.of)
