"""The document that is drawn: well formed, whole by itself, and told to those who cannot see it."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from service.pictures.content import Picture
from service.pictures.layout import laid_out
from service.pictures.palette import DARK, LIGHT
from service.pictures.shapes import Text
from service.pictures.svg import STYLE, STYLE_HASH, drawn
from tests.pictures.shown import crowded, pictures, some_pictures

SVG = "{http://www.w3.org/2000/svg}"
PLAIN = {"svg", "title", "desc", "style", "defs", "pattern", "rect", "g", "circle", "path", "polygon", "text"}
"""The elements that are drawn with; all are of SVG 1.1."""
ILL = "\u0000 \u0001 \ufffe \ud800 <b>&amp; ]]> \"'"
"""What a text may hold and a document may not."""


def root(picture: Picture) -> ET.Element:
    return ET.fromstring(drawn(picture))  # noqa: S314 - we wrote it ourselves


def first() -> Picture:
    return next(pictures("en"))[1]


def test_every_picture_is_well_formed_and_of_plain_elements() -> None:
    seen: set[str] = set()
    for name, picture in some_pictures():
        text = drawn(picture)
        tree = ET.fromstring(text)  # noqa: S314 - we wrote it ourselves
        seen |= {each.tag.removeprefix(SVG) for each in tree.iter()}
        assert not re.search(r"href|url\((?!#boardfit-)|@import|<script|on\w+=|javascript:", text), name
        ids = re.findall(r' id="([^"]+)"', text)
        assert len(ids) == len(set(ids)), name
        assert set(re.findall(r"url\(#([^)]+)\)", text)) <= set(ids), name
    assert seen == PLAIN


def test_it_is_one_picture_with_a_title_and_a_description() -> None:
    for name, picture in some_pictures():
        tree = root(picture)
        assert tree.get("role") == "img", name
        title, described = tree.find(f"{SVG}title"), tree.find(f"{SVG}desc")
        assert title is not None
        assert described is not None
        assert tree.get("aria-labelledby") == f"{title.get('id')} {described.get('id')}"
        assert list(tree)[:2] == [title, described], "they come first"
        assert title.text
        assert described.text == picture.aloud
        assert tree.get("lang") == tree.get("{http://www.w3.org/XML/1998/namespace}lang") == picture.language


def test_two_pictures_in_one_page_have_titles_of_their_own() -> None:
    one, two = (root(picture).get("aria-labelledby") for _, picture in list(pictures("en"))[:2])
    assert one != two


def test_it_scales() -> None:
    """It has a view box, and no size of its own."""
    tree = root(first())
    assert re.fullmatch(r"0 0 840 \d+(\.\d)?", tree.get("viewBox", ""))
    assert tree.get("width") is tree.get("height") is None


def test_fonts_are_generic_families() -> None:
    families = {each.get("font-family") for each in root(first()).iter(f"{SVG}text")}
    assert families == {"sans-serif", "monospace"}


def test_texts_are_drawn_as_they_are() -> None:
    """Every line of text, in order, whatever stands in it."""
    for _, picture in (*crowded("""<script>alert("1")</script> & ]]> '"""), ("", first())):
        texts = [shape.text for shape in laid_out(picture).shapes if isinstance(shape, Text)]
        assert [each.text for each in root(picture).iter(f"{SVG}text")] == texts


def test_what_no_document_can_hold_is_replaced() -> None:
    """XML 1.0 section 2.2, production 2."""
    tree = root(replace(first(), name=ILL, summary=ILL, aloud=ILL))
    (described,) = tree.iter(f"{SVG}desc")
    assert described.text == "\ufffd \ufffd \ufffd \ufffd <b>&amp; ]]> \"'"


def test_colours_change_in_the_dark_on_screens_alone() -> None:
    """Printed it is as in the light, whose colours are attributes: no style sheet overrules them there."""
    assert STYLE.startswith("@media screen and (prefers-color-scheme:dark){")
    assert STYLE.count("@media") == 1
    used = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]{6})"', drawn(first())))
    assert used <= set(LIGHT.values())
    assert {colour for colour in DARK.values() if colour not in STYLE} == set()


def test_the_style_sheet_is_known_by_its_hash() -> None:
    """W3C Content Security Policy Level 3, section 2.3.1 (hash-source), of the text between the tags."""
    (style,) = root(first()).iter(f"{SVG}style")
    assert style.text is not None
    digest = base64.b64encode(hashlib.sha256(style.text.encode()).digest()).decode()
    assert f"sha256-{digest}" == STYLE_HASH


@pytest.mark.parametrize("again", [first, lambda: crowded("")[1][1]])
def test_the_same_picture_is_drawn_byte_for_byte(again: type) -> None:
    assert drawn(again()) == drawn(again())
