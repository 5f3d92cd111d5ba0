"""Reading files: what is wrong with a line costs that line alone, and every line keeps its number."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.files.csv_rows import MAX_SPAN, unescaped
from service.files.lines import MAX_LINE, Lines
from service.files.reading import form_of_name, rows_of
from service.files.rows import Flaw, Form, Row, Unusable
from service.files.writing import encoded, escaped

UNPAIRED = "its quotation marks do not pair up: put the field in quotation marks and double those inside it"
STRAY_END = "a carriage return stands inside it: end lines with a line feed, or with both"


def read(content: bytes, form: Form | None = None) -> list[Row | Flaw]:
    return list(rows_of(Lines(io.BytesIO(content)), form, list))


def told(content: bytes, form: Form | None = None) -> list[tuple[int, object]]:
    """Rows as line and values, flaws as line and reason."""
    return [(each[0], each.values if isinstance(each, Row) else each.reason) for each in read(content, form)]


def rows(content: bytes, form: Form | None = None) -> list[Row]:
    return [each for each in read(content, form) if isinstance(each, Row)]


def unusable(content: bytes, form: Form | None = None) -> str:
    with pytest.raises(Unusable) as fault:
        read(content, form)
    return str(fault.value)


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_what_stands_between_cells_is_seen_in_the_header(delimiter: str) -> None:
    header, row = (delimiter.join(cells).encode() for cells in (["a", "b", "c"], ["1", "2,5", "3"]))
    row = row.replace(b"2,5", b'"2,5"')
    assert told(header + b"\n" + row + b"\n") == [(2, {"a": "1", "b": "2,5", "c": "3"})]


def test_a_header_of_one_column_has_no_delimiter_to_see() -> None:
    assert told(b"a\n1\n") == [(2, {"a": "1"})]


@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_a_quoted_line_end_keeps_the_numbers_right(end: bytes) -> None:
    content = end.join([b"a,b", b'1,"x', b'y"', b"2,z", b""])
    assert [row.line for row in rows(content)] == [2, 4]


def test_blank_lines_count_and_are_no_rows() -> None:
    assert told(b"\n  \na,b\n\n1,2\n,\n\n3,4\n") == [(5, {"a": "1", "b": "2"}), (8, {"a": "3", "b": "4"})]


def test_a_byte_order_mark_is_no_part_of_the_first_name() -> None:
    assert told(b"\xef\xbb\xbfa,b\n1,2\n") == [(2, {"a": "1", "b": "2"})]


def test_cells_are_taken_without_the_blanks_around_them_and_empty_ones_left_out() -> None:
    assert told(b"a,b,c\n 1 ,,  \n") == [(2, {"a": "1"})]


def test_a_last_line_without_an_end_is_a_line() -> None:
    assert told(b"a,b\n1,2") == [(2, {"a": "1", "b": "2"})]


def test_bytes_that_are_no_utf_8_are_told_by_their_place() -> None:
    content = b"\xef\xbb\xbfa,b\n1,2\nx\xe9,3\n4,5\n"
    (at, reason), *_ = [each for each in told(content) if isinstance(each[1], str)]
    place = content.index(b"\xe9") + 1
    assert (at, reason) == (
        3,
        f"byte {place} of the file, 2 of the line, is not UTF-8: save the file in UTF-8",
    )
    assert [row.line for row in rows(content)] == [2, 4]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_gives_no_rows(encoding: str) -> None:
    content = "a,b\n1,2\n".encode(encoding)
    if encoding == "utf-16":
        assert unusable(content) == "the file is encoded in UTF-16: save it in UTF-8"
    else:
        assert rows(content, Form.NDJSON) == []


@pytest.mark.parametrize("form", list(Form))
def test_a_line_that_is_too_long_costs_itself(form: Form) -> None:
    good = {Form.CSV: b"a,b\n%s\n1,2\n", Form.NDJSON: b'{"a":1}\n%s\n{"a":2}\n'}[form]
    for size in (MAX_LINE, MAX_LINE + 1, 3 * MAX_LINE):
        content = good % (b"x" * size)
        (flaw,) = [each for each in read(content, form) if isinstance(each, Flaw)]
        assert flaw == (2, "", "is longer than 1,048,576 bytes")
        assert rows(content, form)[-1].line == 3


def test_a_cell_that_is_too_long_costs_its_line() -> None:
    content = b'a,b\n"' + b"x" * (csv.field_size_limit() + 1) + b'",2\n3,4\n'
    assert told(content) == [(2, "a field is longer than 131,072 characters"), (3, {"a": "3", "b": "4"})]


@pytest.mark.parametrize("lines", [1, 5, MAX_SPAN + 5])
def test_a_quotation_mark_that_never_closes_costs_its_line_alone(lines: int) -> None:
    good = b"".join(b"%d,x\n" % number for number in range(lines))
    found = read(b'a,b\n1,2\n3,"open\n' + good)
    assert [each.line for each in found if isinstance(each, Flaw)] == [3]
    assert [each.line for each in found if isinstance(each, Row)] == [2, *range(4, 4 + lines)]


def test_the_longest_record_that_closes_is_a_row() -> None:
    assert len(rows(b'a,b\n1,"' + b"\n" * (MAX_SPAN - 1) + b'x"\n2,y\n')) == 2


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (b"1", "has 1 of 2 cells: it breaks off, or a delimiter is missing"),
        (b"1,2,3", "has a cell below no column name: name the column, or clear the cell"),
        (b"1,\r2", STRAY_END),
    ],
)
def test_a_line_of_another_shape_is_refused(line: bytes, reason: str) -> None:
    assert told(b"a,b\n" + line + b"\n3,4\n") == [(2, reason), (3, {"a": "3", "b": "4"})]


def test_empty_cells_past_the_last_column_are_nothing() -> None:
    assert told(b"a,b,,\n1,2,,\n3,4,,,,\n5,6\n") == [
        (line, {"a": a, "b": b}) for line, a, b in ((2, "1", "2"), (3, "3", "4"), (4, "5", "6"))
    ]


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "the file is empty"),
        (b"\n \n\r\n", "the file is empty"),
        (b'"a,b\n1,2\n', f"the header, line 1: {UNPAIRED}"),
        (
            b"a\xff,b\n",
            "the header, line 1: byte 2 of the file, 2 of the line, is not UTF-8: save the file in UTF-8",
        ),
        (b"a,b\r1,2\r3,4", f"the header, line 1: {STRAY_END}"),
    ],
)
def test_a_file_without_a_header_cannot_be_taken(content: bytes, reason: str) -> None:
    assert unusable(content) == reason


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (b"[1]", "no JSON object: write one on each line, with the columns as its members"),
        (b'{"a": 1, "a": 2}', 'the member "a" stands there twice: say it once'),
        (b'{"b": {"c": 1, "c": 1}}', 'the member "c" stands there twice: say it once'),
        (b'{"a": NaN}', "no JSON at character 7: "),
        (b'{"a": 1', "no JSON at character 8: "),
        (
            b'{"a": "\xed\xa0\x80"}',
            "byte 19 of the file, 8 of the line, is not UTF-8: save the file in UTF-8",
        ),
    ],
)
def test_what_is_no_json_object_costs_its_line(line: bytes, reason: str) -> None:
    found = told(b'{"a": "x"}\n' + line + b'\n{"a": "y"}\n')
    assert [each for each, _ in found] == [1, 2, 3]
    assert str(found[1][1]).startswith(reason)


@pytest.mark.parametrize("depth", [100, 900, 1100, 100_000])
def test_nesting_however_deep_is_told(depth: int) -> None:
    line = b'{"a": ' + b"[" * depth + b"]" * depth + b"}\n"
    assert len(read(line, Form.NDJSON)) == 1


def test_members_that_say_nothing_are_left_out() -> None:
    assert told(b'{"a": null, "b": " ", "c": " x ", "d": false, "e": 0}\n') == [
        (1, {"c": "x", "d": False, "e": 0})
    ]


@pytest.mark.parametrize(
    ("name", "form"),
    [
        ("a.csv", Form.CSV),
        ("A.TSV", Form.CSV),
        ("a.ndjson", Form.NDJSON),
        ("a.jsonl", Form.NDJSON),
        ("a", None),
    ],
)
def test_the_name_tells_the_form(name: str, form: Form | None) -> None:
    assert form_of_name(name) is form


def test_else_the_first_line_tells_it() -> None:
    assert told(b'\n {"a": 1}\n') == [(2, {"a": 1})]
    assert told(b"\na\n1\n") == [(3, {"a": "1"})]


CELLS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


@given(st.lists(st.tuples(CELLS, CELLS), max_size=8))
def test_what_is_written_is_read_as_it_was(cells: list[tuple[str, str]]) -> None:
    """All but the blanks around a cell, which no column means."""
    meant = [{name: text for name, text in zip("ab", pair, strict=True) if text.strip()} for pair in cells]
    stripped = [{name: text.strip() for name, text in row.items()} for row in meant]
    for form in Form:
        content = b"".join(encoded([{"a": "x", "b": "y"}, *stripped], ("a", "b"), form))
        assert [row.values for row in rows(content, form) if row.values][1:] == [
            row for row in stripped if row
        ]


@given(CELLS)
def test_no_cell_is_written_that_a_spreadsheet_works_out(text: str) -> None:
    assert not escaped(text).startswith(("=", "+", "-", "@"))
    assert unescaped(escaped(text)) == text


@given(
    st.binary(max_size=400)
    | st.lists(
        st.sampled_from([b"a", b'"', b",", b";", b"\n", b"\r", b"\0", b"\xff", b"{", b"}"]), max_size=80
    ).map(b"".join)
)
def test_no_bytes_break_the_reading(content: bytes) -> None:
    lines = content.count(b"\n") + 1
    for form in (None, *Form):
        try:
            found = read(content, form)
        except Unusable:
            continue
        numbers = [each.line for each in found]
        assert numbers == sorted(numbers)
        assert all(1 <= number <= lines for number in numbers)


BAD = [b"\xff,1", b'1,"open', b"only one", b"1,2,3", b'"a"b,c']


@given(st.lists(st.sampled_from(BAD) | st.integers(0, 99).map(lambda n: b"%d,good" % n), max_size=30))
def test_bad_lines_cost_no_good_one(lines: list[bytes]) -> None:
    found = read(b"a,b\n" + b"".join(line + b"\n" for line in lines))
    good = [at for at, line in enumerate(lines, 2) if line.endswith(b"good")]
    assert [each.line for each in found if isinstance(each, Row)] == good
    assert [each.line for each in found if isinstance(each, Flaw)] == [
        at for at, line in enumerate(lines, 2) if not line.endswith(b"good")
    ]
