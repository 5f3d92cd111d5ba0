"""How wide a text is, and where it is broken into lines.

Which font a viewer takes for `sans-serif` is not known here, so texts are measured by a wide one: the advance
widths are those of DejaVu Sans and DejaVu Sans Bold, in thousandths of the font's size. The usual others are
narrower, and so leave room. What is written in `monospace` is 0.602 of its size wide in DejaVu Sans Mono, and
0.6 in most others.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import lru_cache


class Face(Enum):
    """How a text is set."""

    PLAIN = "plain"
    BOLD = "bold"
    MONO = "mono"


# From the space to the tilde, in the order of ASCII.
_ASCII = {
    Face.PLAIN: (
        "318 401 460 838 636 950 780 275 390 390 500 838 318 361 318 337 636 636 636 636 636 636 636 636 "
        "636 636 337 337 838 838 838 531 1000 684 686 698 770 632 575 775 752 295 295 656 557 863 748 787 "
        "603 787 695 635 611 732 684 989 685 611 685 390 337 390 838 500 500 613 635 550 635 615 352 635 "
        "634 278 278 579 278 974 634 612 635 635 411 521 392 634 592 818 592 592 525 636 337 636 838"
    ),
    Face.BOLD: (
        "348 456 521 838 696 1002 872 306 457 457 523 838 380 415 380 365 696 696 696 696 696 696 696 696 "
        "696 696 400 400 838 838 838 580 1000 774 762 734 830 683 683 821 837 372 372 775 637 995 837 850 "
        "733 850 770 720 682 812 774 1103 771 724 725 457 365 457 838 500 500 675 716 593 716 678 435 716 "
        "712 343 343 665 343 1042 712 687 716 716 493 595 478 712 652 924 645 652 582 712 365 712 838"
    ),
}
# Of what else the languages of Europe write, the wider of both faces.
_BESIDES = {
    "\u00a0": 348,  # the space that does not break
    "\u2013": 500,  # en dash
    **dict.fromkeys("\u201e\u201c\u201d\u00ab\u00bb", 660),  # double quotation marks
    **dict.fromkeys("\u2018\u2019\u201a\u2039\u203a\u00b7", 412),  # single ones, and the middle dot
    **dict.fromkeys("\u00df\u00f8\u0111", 720),  # sharp s, o and d with stroke
    **dict.fromkeys("\u0142\u0131", 371),  # l with stroke, i without dot
}
_MONO = 602
_SPACES = re.compile("[ \\t\\n]+")
"""Where a line may end: not at a space that does not break."""
_WIDEST = 1_330
"""Of anything else: a capital of another script, an ideograph."""


def _table(face: Face) -> Mapping[str, int]:
    widths = map(int, _ASCII[face].split())
    return {**{chr(code): width for code, width in zip(range(32, 127), widths, strict=True)}, **_BESIDES}


_WIDTHS = {face: _table(face) for face in _ASCII}


@lru_cache(maxsize=4_096)
def text_width(text: str, size: float, face: Face = Face.PLAIN) -> float:
    """The width of a line of text, in the units of `size`."""
    return sum(_advance(character, face) for character in text) * size / 1_000


@lru_cache(maxsize=4_096)
def _advance(character: str, face: Face) -> int:
    if unicodedata.combining(character):
        return 0
    if face is Face.MONO:
        return _MONO if character.isascii() or _letter(character) else 2 * _MONO
    found = _WIDTHS[face].get(character)
    if found is None:
        found = _WIDTHS[face].get(_letter(character), _WIDEST)
    return found


def _letter(character: str) -> str:
    """The letter under an accent: as wide as with it. Empty where it is none of the alphabet."""
    base = unicodedata.normalize("NFD", character)[0]
    return base if base.isascii() else ""


def wrapped(text: str, width: float, size: float, face: Face = Face.PLAIN) -> tuple[str, ...]:
    """The text in lines that are at most so wide. Broken at spaces; a word that is wider is cut."""
    lines: list[str] = []
    room = 0.0
    space = text_width(" ", size, face)
    for word in _pieces(text, width, size, face):
        wide = text_width(word, size, face)
        if lines and space + wide <= room:
            lines[-1] += f" {word}"
            room -= space + wide
        else:
            lines.append(word)
            room = width - wide
    return tuple(lines)


def _pieces(text: str, width: float, size: float, face: Face) -> Iterator[str]:
    """The words; of a word that is wider than a line, as many pieces as it takes."""
    for word in filter(None, _SPACES.split(text)):
        piece = ""
        for character in word if text_width(word, size, face) > width else ():
            if piece and text_width(piece + character, size, face) > width:
                yield piece
                piece = ""
            piece += character
        yield piece or word
