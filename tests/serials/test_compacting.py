"""Typed and scanned text becomes the compact form of a serial."""

from __future__ import annotations

import pytest

from service.domain.serials import compact


@pytest.mark.parametrize(
    ("typed", "serial"),
    [
        ("35-209900-176148-1", "352099001761481"),
        (" tm w4 1907 \t1234-g\r\n", "TMW419071234G"),
        ("a.b/c_d", "ABCD"),
        ("a\N{MIDDLE DOT}b\N{MINUS SIGN}c", "ABC"),
        ("a\N{HYPHEN}b\N{NON-BREAKING HYPHEN}c\N{FIGURE DASH}d\N{EN DASH}e\N{EM DASH}f", "ABCDEF"),
        ("a\N{NO-BREAK SPACE}b\N{THIN SPACE}c\N{IDEOGRAPHIC SPACE}d", "ABCD"),
        (
            "a\N{SOFT HYPHEN}b\N{ZERO WIDTH SPACE}c\N{ZERO WIDTH NO-BREAK SPACE}d\N{RIGHT-TO-LEFT MARK}",
            "ABCD",
        ),
        (
            "\N{FULLWIDTH DIGIT FOUR}\N{FULLWIDTH LATIN SMALL LETTER B}\N{FULLWIDTH HYPHEN-MINUS}",
            "4B",
        ),
        # The group separator of a scanned GS1 element string is a control character.
        ("12\x1d34\x00", "1234"),
        # What no label prints stays, so that it is told and not guessed.
        (
            "\N{SUPERSCRIPT TWO}\N{LATIN SMALL LETTER SHARP S}*?",
            "\N{SUPERSCRIPT TWO}\N{LATIN SMALL LETTER SHARP S}*?",
        ),
        ("O0I1", "O0I1"),
        ("", ""),
    ],
)
def test_what_only_groups_is_dropped_and_letters_are_capitals(typed: str, serial: str) -> None:
    assert compact(typed) == serial
    assert compact(serial) == serial
