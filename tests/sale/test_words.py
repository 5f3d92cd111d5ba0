"""What the till says can be read aloud to a customer, accuses nobody, and goes through gettext."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from gettext import NullTranslations

import pytest

from service.domain.sale.check import HELD, SaleAnswer
from service.words import sale_texts as texts
from service.words.language import Language
from service.words.names import Names
from service.words.sale import (
    customer_sentence,
    customer_text,
    line_name,
    receipt_paragraphs,
    return_paragraphs,
    staff_sentence,
    staff_text,
)
from tests.sale.case_files import Case, answered, cases

END = re.compile(r"(?<=[.?!])\s+(?=[A-Z])")
MOST_WORDS = 40
BENCH_WORDS = re.compile(
    r"\b(binding|bound to|blank|serial of|claim(ed|s)?|assum\w+|ledger|catalogue|record(ed|s)? contradict\w*|"
    r"worlds?|unit|ask first|axis|clearance|custody|donor|[a-z]+_[a-z_]+)\b"
)
"""Words of the bench and of the code, which no customer has to know."""
ACCUSING = re.compile(
    r"stolen|theft|thief|police|held|hold|recall|locked|owed|suspicio|your fault|query", re.IGNORECASE
)


class Bracketed(NullTranslations):
    """A language of brackets: what stands outside of all was never offered for translation."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧"


@cache
def told() -> tuple[tuple[Case, SaleAnswer], ...]:
    found = ((case, answered(case)) for case in cases())
    return tuple((case, answer) for case, answer in found if isinstance(answer, SaleAnswer))


def for_customers() -> Iterator[tuple[str, str]]:
    for case, answer in told():
        names = case.shop.names
        yield case.name, customer_text(answer, names)
        yield from ((case.name, text) for text in receipt_paragraphs(answer, names))
        yield from ((case.name, text) for text in return_paragraphs(answer, names))


def for_staff() -> Iterator[tuple[str, str]]:
    for case, answer in told():
        for each in (*answer.grounds, *answer.conditions):
            yield case.name, staff_sentence(each, answer, case.shop.names)


def test_there_is_much_to_read() -> None:
    assert len({text for _, text in for_customers()}) >= 60
    assert len({text for _, text in for_staff()}) >= 40


def test_codes_have_words_for_both_and_a_meaning() -> None:
    assert texts.STAFF.keys() == texts.MEANINGS.keys()
    assert texts.STAFF.keys() - texts.CUSTOMER.keys() == HELD


@pytest.mark.parametrize(
    "flaw",
    [
        r"[{}]",
        r" {2}",
        r" [.,;:?!)]",
        r"[.,;:?!]{2}",
        r"\(\)|\( ",
        r"\b(a|an) (a|an|another|one of)\b",
        r"\ba [AEIOaeio]|\ban [^AEIOUaeiou]",
        r"\bNone\b|frozenset|<|>",
        r"\b(\w+) \1\b",
        r": *\.|\. *,",
        r"\w\.(part|binding|holds|condition|introduced)\b",
    ],
)
def test_no_text_has_this_flaw(flaw: str) -> None:
    every = [*for_customers(), *for_staff()]
    assert {pair for pair in every if re.search(flaw, pair[1])} == set()


def test_texts_are_whole_sentences_and_short() -> None:
    every = [*for_customers(), *for_staff()]
    assert [pair for pair in every if not pair[1].endswith((".", "?")) or not pair[1][0].isupper()] == []
    ours = {part for _, text in every for part in END.split(text)}
    assert {part for part in ours if len(part.split()) > MOST_WORDS} == set()


def test_a_customer_hears_no_word_of_the_bench() -> None:
    assert {pair for pair in for_customers() if BENCH_WORDS.search(pair[1])} == set()


def test_nobody_is_accused() -> None:
    assert {pair for pair in for_customers() if ACCUSING.search(pair[1])} == set()


def test_where_something_is_held_one_text_is_said_and_no_more() -> None:
    held = [(case, answer) for case, answer in told() if answer.held]
    assert len(held) >= 7
    for case, answer in held:
        said = customer_text(answer, case.shop.names)
        assert END.split(said)[1:] == [
            "Something has to be cleared up on our side first, and we are sorry for the wait."
        ], case.name
        assert answer.quote is None
        assert receipt_paragraphs(answer, case.shop.names) == []
        assert [
            customer_sentence(each, answer, case.shop.names) for each in answer.grounds if each.code in HELD
        ] == [""]


def test_the_customer_is_told_nothing_twice() -> None:
    for name, text in for_customers():
        parts = END.split(text)
        assert len(parts) == len(set(parts)), name


def test_rights_stand_with_every_sale() -> None:
    for case, answer in told():
        said = return_paragraphs(answer, case.shop.names)
        assert (texts.STATUTORY_RIGHTS in said) is answer.sells, case.name


def test_staff_texts_begin_with_what_to_do() -> None:
    headings = {*texts.DECISIONS.values(), *texts.TAKING.values()}
    assert {staff_text(answer, case.shop.names).splitlines()[0] for case, answer in told()} <= headings


def test_every_word_is_offered_for_translation() -> None:
    """Outside of all brackets stand only the dealer's own texts, names, numbers and marks."""
    for case, answer in told():
        names = Names(case.shop.compiled.catalogue, Language("xx", Bracketed()))
        said = [
            customer_text(answer, names),
            *(staff_sentence(g, answer, names) for g in (*answer.grounds, *answer.conditions)),
        ]
        said += [line_name(line, answer, names) for line in (answer.quote.lines if answer.quote else ())]
        said += [
            text
            for text in return_paragraphs(answer, names)
            if answer.found.terms and text != answer.found.terms.returns
        ]
        for text in said:
            assert re.sub(r"[\s⟦⟧]", "", outside(text)) == "", (case.name, text)


def outside(text: str) -> str:
    depth, left = 0, ""
    for character in text:
        depth -= character == "⟧"
        left += character if depth == 0 else ""
        depth += character == "⟦"
    return left
