"""What is said can be read aloud to a customer: whole sentences, short ones, and nothing of the machinery."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain

import pytest

from service.words.caution_texts import CAUTIONS
from service.words.question_texts import HOW
from service.words.step_texts import STEPS
from tests.words.said import heard, phrases, sentences, whole

MOST_WORDS = 40
MOST_SENTENCES = 8
MOST_POSSIBLE = 5
END = re.compile(r"(?<=[.?!])\s+(?=[A-Z])")


def told() -> Iterator[tuple[str, str]]:
    return ((each.name, text) for each in heard() for text in sentences(each))


def test_there_is_much_to_read() -> None:
    assert len(heard()) >= 300
    assert len({text for _, text in told()}) >= 250
    assert len({phrase for each in heard() for phrase in phrases(each)}) >= 25


def test_every_text_ends_as_a_sentence_does() -> None:
    assert [(name, text) for name, text in told() if not text.endswith((".", "?"))] == []


def test_every_text_begins_as_a_sentence_does() -> None:
    assert [(name, text) for name, text in told() if not text[0].isupper()] == []


@pytest.mark.parametrize(
    "flaw",
    [
        re.compile(r"[{}]"),
        re.compile(r" {2}"),
        re.compile(r" [.,;:?!)]"),
        re.compile(r"[.,;:?!]{2}"),
        re.compile(r"\(\)|\( "),
        re.compile(r"\b(a|an) (a|an|another|one of)\b"),
        re.compile(r"\ba [AEIOaeio]|\ban [^AEIOUaeiou]"),
        re.compile(r"\byour (another|a|an)\b"),
        re.compile(r"\bNone\b|frozenset|<|>"),
        re.compile(r"\b(\w+) \1\b"),
    ],
    ids=lambda flaw: flaw.pattern,
)
def test_no_text_has_this_flaw(flaw: re.Pattern[str]) -> None:
    every = chain(told(), ((each.name, phrase) for each in heard() for phrase in phrases(each)))
    assert {(name, text) for name, text in every if flaw.search(text)} == set()


def test_sentences_are_short() -> None:
    every = [*(text for _, text in told()), *CAUTIONS.values(), *HOW.values(), *STEPS.values()]
    long = {part for text in every for part in END.split(text) if len(part.split()) > MOST_WORDS}
    assert long == set()


def test_summaries_are_short() -> None:
    long = [text for _, text in summaries() if len(END.split(text)) > MOST_SENTENCES]
    assert long == []


def test_a_summary_says_nothing_twice() -> None:
    for name, text in summaries():
        parts = END.split(text)
        assert len(parts) == len(set(parts)), name


def summaries() -> Iterator[tuple[str, str]]:
    return ((each.name, next(sentences(each))) for each in heard())


UNSURE_MACHINE = {"identity_conflict", "unit_out_of_service"}


def test_a_summary_tells_the_outcome_first() -> None:
    """The consequence comes first; before it only that nobody knows yet which machine it is."""
    first = {
        "fits": re.compile(r"will work in|runs with|go together|must not be used"),
        "fits_with_programming": re.compile(r"will work in|will not run until|go together|must not be used"),
        "does_not_fit": re.compile(r"not work|not run|refuse|no place|must not|not fit|has to be assigned"),
        "cannot_tell": re.compile(r"cannot tell|do not cover"),
    }
    for each in heard():
        parts = END.split(next(sentences(each)))
        for _ in {grounded.reason.code for grounded in each.answer.reasons} & UNSURE_MACHINE:
            parts = parts[2:]
        assert first[each.answer.outcome].search(" ".join(parts[:2])), (each.name, parts)


def test_whole_answers_are_tidy() -> None:
    for each in heard():
        text = whole(each)
        assert text.endswith(".\n")
        assert not re.search(r"[{}]| $|\n{3}|[^ ]  [^ -]", text, re.MULTILINE), (each.name, text)


def test_a_whole_answer_says_nothing_twice() -> None:
    for each in heard():
        lines = [line for line in whole(each).splitlines() if line.startswith("  - ")]
        assert len(lines) == len(set(lines)), (each.name, lines)


def test_cannot_tell_ends_with_what_to_do_next() -> None:
    """A question, or that the record has to be corrected, the label read, a dealer asked."""
    done = re.compile(r"\?$|corrected|cleared up|again|a dealer has to look|do not cover|Tell us")
    for each in heard():
        if each.answer.outcome == "cannot_tell":
            assert done.search(next(sentences(each))), (each.name, next(sentences(each)))


def test_a_person_at_the_counter_reads_few_things_that_are_only_possible() -> None:
    counts = [whole(each).count("\n  - Possibly:") for each in heard()]
    assert max(counts) <= MOST_POSSIBLE
    assert counts.count(MOST_POSSIBLE) > 3, "there are answers that would tell more"
