"""Texts made to hurt: they are refused with a fault, and before they cost anything.

There is no clock here: without the bounds these tests would not come back, or not with so few faults.
"""

from __future__ import annotations

import pytest

from service.papers import check
from service.papers.faults import MOST_FAULTS
from service.papers.yaml_text import MOST_BYTES, MOST_VALUES
from tests.papers.documents import SMALL


def only(text: str | bytes) -> tuple[str, int]:
    (fault,) = check(text)
    return fault.code, fault.line


def first(text: str) -> tuple[str, int]:
    found = check(text)[0]
    return found.code, found.line


def test_a_billion_laughs() -> None:
    rows = ["a0: &a0 [ha, ha]", *(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}, *a{n - 1}]" for n in range(1, 60))]
    assert first("\n".join(rows)) == ("alias", 1)
    assert {fault.code for fault in check("\n".join(rows))} == {"alias"}


def test_an_alias_to_itself() -> None:
    assert [(fault.code, fault.path) for fault in check("parts: &p [*p]")] == [
        ("alias", "parts"),
        ("alias", "parts[0]"),
    ]


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? "])
def test_nesting_without_end(opening: str) -> None:
    code, _ = only(opening * 200_000)
    assert code in {"too_deep", "bad_key", "unreadable"}


def test_more_values_than_any_catalogue_has() -> None:
    assert only("parts: [" + "1," * (MOST_VALUES + 1) + "]") == ("too_big", 1)


def test_more_bytes_than_any_catalogue_has() -> None:
    assert only("#" * (MOST_BYTES + 1)) == ("too_big", 1)


@pytest.mark.parametrize(
    "tag", ["!!python/object/apply:os.getcwd []", "!!binary aGk=", "!!set {a}", "!own x", "!!str 1"]
)
def test_tags(tag: str) -> None:
    assert only(SMALL.replace("dealer: Corner Shop", f"dealer: {tag}")) == ("tag", 3)


def test_merge_keys_are_plain_fields() -> None:
    assert [fault.code for fault in check(SMALL + "    <<: {price: '1'}\n")] == ["unknown_field"]


def test_a_text_too_long() -> None:
    (fault,) = check(SMALL.replace("maker: Tinmaker", "maker: " + "x" * 100_000))
    assert (fault.code, fault.line, fault.path) == ("too_long", 2, "maker")
    assert len(str(fault)) < 200


def test_a_number_of_many_digits() -> None:
    faults = check(SMALL.replace("amount: 2}", "amount: " + "9" * 5_000 + "}"))
    assert [(fault.code, fault.path) for fault in faults] == [
        ("wrong_type", "models.bee.allows.packs.amount")
    ]
    assert len(str(faults[0])) < 300


@pytest.mark.parametrize(
    "number", ["0x10", "010", "1e3", "1_000", "+5", "5.0", ".inf", ".nan", "1:30", "-1", "1,000", "²", "٣"]
)
def test_numbers_in_disguise(number: str) -> None:
    faults = check(
        SMALL.replace("amount: 2}", f"amount: {number}}}" if "," not in number else f"amount: '{number}'}}")
    )
    assert [fault.path for fault in faults] == ["models.bee.allows.packs.amount"]


def test_bytes_that_are_no_text() -> None:
    assert only(SMALL.encode().replace(b"Corner", b"C\xf6rner")) == ("not_utf8", 3)
    assert only(SMALL.encode("utf-16"))[0] == "not_utf8"


def test_half_a_character_pair() -> None:
    assert only(SMALL.replace("Corner", "C\ud800rner")) == ("not_utf8", 3)


def test_a_byte_order_mark_is_no_fault() -> None:
    assert check("\ufeff" + SMALL) == []
    assert check(b"\xef\xbb\xbf" + SMALL.encode()) == []


@pytest.mark.parametrize(
    "text", ["", "\n", "# only a comment\n", "null", "~", "x", "[]", "- a", "7", "2024-01-01", "..."]
)
def test_what_is_no_document_at_all(text: str) -> None:
    (fault,) = check(text)
    assert fault.code in {"wrong_type", "unreadable"}


@pytest.mark.parametrize("character", ["\0", "\x07", "\x1b", "\x7f", "\ufffe"])
def test_characters_that_cannot_be_printed(character: str) -> None:
    faults = check(SMALL.replace("Corner", f"Cor{character}ner"))
    assert len(faults) == 1
    assert faults[0].code in {"unreadable", "wrong_value"}
    assert faults[0].line == 3


def test_thousands_of_unknown_names_among_thousands_of_known() -> None:
    """Looking for similar names stops after some hundreds; the faults do not."""
    models = "".join(f"  m{n}: {{name: M, family: worms}}\n" for n in range(400))
    wrong = ", ".join(f"x{n}" for n in range(450))
    rows = "".join(f"      - {{models: [{wrong}]}}\n" for _ in range(5))
    text = SMALL.replace("parts:\n  - number", f"{models}parts:\n  - number").replace(
        "    fits:\n      - {models: [ant]}\n", f"    fits:\n{rows}      - {{models: [ant]}}\n"
    )
    faults = check(text)
    assert {fault.code for fault in faults} == {"unknown_model"}
    assert sum(fault.code == "unknown_model" for fault in faults) == 5 * 450


def test_a_flood_of_faults_is_cut_off() -> None:
    extra = "".join(f"    z{n}: 1\n" for n in range(2 * MOST_FAULTS))
    assert len(check(SMALL + extra)) == MOST_FAULTS
