"""Every language says everything: no text is missing or left over, and each takes the facts of its msgid."""

from __future__ import annotations

import re
from string import Formatter

import pytest

from service.words.language import LOCALE
from tests.words.catalogues import TRANSLATED, compiled, entries, source
from tests.words.msgids import FOREIGN_BOARD, OF_DEVELOPERS, msgids

ALIKE = {
    "de": {"{who}, {most} min"},
    "fr": {"{who}, {most} min", "machine", "catalogue {revision}", "Catalogue {revision}.", "DANGER"},
    "sv": {"{who}, {most} min"},
}
"""Texts that a language has in common with English, beside those without any word of their own."""

ENDS_OTHERWISE = {"Only if {fact} is {values}:"}
"""A colon that only English can go on after."""

LAYOUT = re.compile(r"\{\w+\}|[\W\d_]")


def placeholders(text: str) -> list[str]:
    return sorted({name for _, name, _, _ in Formatter().parse(text) if name is not None})


def test_there_are_many_texts() -> None:
    assert len(msgids()) >= 500


@pytest.mark.parametrize("code", TRANSLATED)
def test_nothing_is_missing_and_nothing_left_over(code: str) -> None:
    told = [(entry.msgctxt, entry.msgid) for entry in entries(code)]
    assert len(told) == len(set(told))
    assert set(told) == {(None, text) for text in msgids()} | {FOREIGN_BOARD}


@pytest.mark.parametrize("code", TRANSLATED)
def test_every_text_is_translated_and_none_is_in_doubt(code: str) -> None:
    assert [e.msgid for e in entries(code) if not e.msgstr or e.fuzzy or e.obsolete] == []


@pytest.mark.parametrize("code", TRANSLATED)
def test_every_text_takes_the_facts_of_its_msgid(code: str) -> None:
    differing = {e.msgid: e.msgstr for e in entries(code) if placeholders(e.msgid) != placeholders(e.msgstr)}
    assert differing == {}


@pytest.mark.parametrize("code", TRANSLATED)
def test_no_text_is_left_in_english(code: str) -> None:
    same = {e.msgid for e in entries(code) if e.msgid == e.msgstr and LAYOUT.sub("", e.msgid)}
    assert same == ALIKE[code]


@pytest.mark.parametrize("code", TRANSLATED)
def test_texts_end_alike(code: str) -> None:
    """What is a sentence in English is one in every language, and a phrase stays a phrase."""
    ends = re.compile(r"[.?]\Z")
    differing = {
        e.msgid: e.msgstr for e in entries(code) if bool(ends.search(e.msgid)) != bool(ends.search(e.msgstr))
    }
    assert set(differing) == ENDS_OTHERWISE


def test_texts_stand_in_modules_of_texts() -> None:
    """But for the joints of a language, which it has by itself."""
    elsewhere = {
        text
        for text, modules in msgids().items()
        if not any(module.endswith("_texts") or module == "language" for module in modules)
    }
    assert elsewhere == set()


@pytest.mark.parametrize("code", TRANSLATED)
def test_each_tells_where_its_texts_stand(code: str) -> None:
    for entry in entries(code):
        if entry.msgctxt is None:
            wanted = [f"service/words/{module}.py" for module in msgids()[entry.msgid]]
            assert [path for path, _ in entry.occurrences] == wanted, entry.msgid


@pytest.mark.parametrize("code", TRANSLATED)
def test_each_says_how_it_speaks(code: str) -> None:
    """The words of the trade stand at the head, for whoever adds a text."""
    assert "Glossary:" in entries(code).header
    assert "{board}" in entries(code).header


@pytest.mark.parametrize("code", TRANSLATED)
def test_what_the_service_reads_is_what_people_edit(code: str) -> None:
    assert source(code).with_suffix(".mo").read_bytes() == compiled(code)


def test_there_is_no_folder_of_a_language_that_is_not_spoken() -> None:
    assert {folder.name for folder in LOCALE.iterdir()} == set(TRANSLATED)


def test_french_marks_stand_behind_a_space_that_does_not_break() -> None:
    loose = re.compile(r"(?<![\d\u00a0])[:;?!](?!\w)| [:;?!]|« | »")
    assert [e.msgstr for e in entries("fr") if loose.search(e.msgstr)] == []


@pytest.mark.parametrize(("name", "is_one"), [("MEANINGS", True), ("WAY_MEANINGS", True), ("REASONS", False)])
def test_what_only_developers_read_is_told_apart(name: str, is_one: bool) -> None:
    assert bool(OF_DEVELOPERS.fullmatch(name)) is is_one
