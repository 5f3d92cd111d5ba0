"""Laws of reading and writing serials, over invented schemes and over any text."""

from __future__ import annotations

from hypothesis import example, given
from hypothesis import strategies as st

from service.domain.serials import (
    Decoded,
    FieldKind,
    Scheme,
    Subject,
    Unreadable,
    UnreadableCause,
    compact,
    decode,
    format_serial,
    is_valid,
    make,
    order_key,
)
from tests.serials.drawn import Drawn, drawn
from tests.serials.published import SCHEMES, scheme

PUBLISHED = [scheme(name) for name in SCHEMES]


def read(by: Scheme, text: str) -> Decoded:
    reading = decode((by,), by.subject, text)
    assert isinstance(reading, Decoded), reading
    return reading


@given(drawn())
def test_what_is_made_is_read(case: Drawn) -> None:
    serial = make(case.scheme, case.values)
    reading = read(case.scheme, serial)
    assert reading.serial == serial
    assert reading.scheme == case.scheme.id
    assert reading.fields.keys() == {field.name for field in case.scheme.fields}
    for name, value in case.values.items():
        assert value in reading.fields[name]


@given(drawn())
def test_what_is_printed_is_read(case: Drawn) -> None:
    serial = make(case.scheme, case.values)
    printed = format_serial(case.scheme, serial)
    assert compact(printed) == serial
    assert read(case.scheme, printed) == read(case.scheme, serial)


@given(drawn())
def test_the_true_place_in_the_order_is_among_the_possible_ones(case: Drawn) -> None:
    reading = read(case.scheme, make(case.scheme, case.values))
    assert bool(reading.order_keys) == bool(case.scheme.order)
    if case.scheme.order:
        assert tuple(case.values[name] for name in case.scheme.order) in reading.order_keys
        for key in reading.order_keys:
            assert all(
                value in reading.fields[name] for name, value in zip(case.scheme.order, key, strict=True)
            )


@given(drawn())
def test_an_order_key_is_given_only_where_it_is_certain(case: Drawn) -> None:
    serial = make(case.scheme, case.values)
    keys = read(case.scheme, serial).order_keys
    found = order_key((case.scheme,), Subject.UNIT, serial)
    assert found == ((case.scheme.id, *keys) if len(keys) == 1 else None)


@given(drawn())
def test_it_may_have_been_made_in_each_year_that_it_may_mean(case: Drawn) -> None:
    reading = read(case.scheme, make(case.scheme, case.values))
    assert bool(reading.made) == bool(case.scheme.made)
    assert list(reading.made) == sorted(reading.made)
    if case.scheme.made:
        by_week = any(
            each.kind is FieldKind.WEEK for each in case.scheme.fields if each.name in case.scheme.made
        )
        meant = {first.isocalendar().year if by_week else first.year for first, _ in reading.made}
        assert meant == reading.fields[case.scheme.made[0]]


@given(drawn(), st.data())
def test_grouping_and_case_change_nothing(case: Drawn, data: st.DataObject) -> None:
    serial = make(case.scheme, case.values)
    separators = st.text(" -.\N{EN DASH}\N{EM DASH}\t\u00a0\u2011\u200b\u00ad_/", max_size=2)
    typed = "".join(
        data.draw(separators) + data.draw(st.sampled_from([each, each.lower()])) for each in serial
    )
    assert read(case.scheme, typed) == read(case.scheme, serial)


@given(drawn())
def test_a_look_alike_is_read_where_only_the_other_can_stand(case: Drawn) -> None:
    serial = make(case.scheme, case.values)
    layout = case.scheme.compiled.layouts[len(serial)]
    other = {"0": "O", "1": "I", "O": "0", "I": "1"}
    mistyped = "".join(
        other[each] if each in other and other[each] not in allowed else each
        for each, allowed in zip(serial, layout.positions, strict=True)
    )
    assert read(case.scheme, mistyped) == read(case.scheme, serial)


@given(drawn(), st.data())
def test_a_wrong_check_character_is_never_read(case: Drawn, data: st.DataObject) -> None:
    serial = make(case.scheme, case.values)
    layout = case.scheme.compiled.layouts[len(serial)]
    for field, span in zip(case.scheme.fields, layout.spans, strict=True):
        if field.kind is FieldKind.CHECK:
            place = data.draw(st.sampled_from(span))
            other = data.draw(st.sampled_from(field.characters.replace(serial[place], "")))
            wrong = decode((case.scheme,), Subject.UNIT, serial[:place] + other + serial[place + 1 :])
            assert isinstance(wrong, Unreadable)
            assert wrong.cause is UnreadableCause.CHECK_CHARACTER
            assert wrong.field == field.name
            assert set(wrong.positions) == {each + 1 for each in span}


@given(st.text() | st.text("0123456789ABCXOI -*"), st.sampled_from(list(Subject)))
@example("", Subject.UNIT)
@example("\ud800\x00", Subject.BOARD)
@example("1" * 100_000, Subject.UNIT)
@example("\uff11\uff12\uff13\uff14", Subject.UNIT)
@example("٣" * 15, Subject.BOARD)
def test_no_text_makes_reading_fail(text: str, subject: Subject) -> None:
    reading = decode(PUBLISHED, subject, text)
    assert reading.serial == compact(text) or isinstance(reading, Decoded) or reading.scheme


@given(drawn(), st.data())
def test_a_damaged_serial_is_read_or_told_where(case: Drawn, data: st.DataObject) -> None:
    serial = make(case.scheme, case.values)
    place = data.draw(st.integers(0, len(serial) - 1))
    damaged = serial[:place] + data.draw(st.characters()) + serial[place + data.draw(st.integers(0, 1)) :]
    reading = decode((case.scheme,), Subject.UNIT, damaged)
    if isinstance(reading, Unreadable) and reading.cause is not UnreadableCause.NO_SCHEME:
        assert reading.found == "".join(reading.serial[each - 1] for each in reading.positions)
        assert reading.positions
        assert reading.field in {field.name for field in case.scheme.fields}


@given(st.text(), st.sampled_from(PUBLISHED))
def test_what_was_read_is_read_again_from_its_compact_form(text: str, by: Scheme) -> None:
    reading = decode((by,), by.subject, text)
    again = decode((by,), by.subject, reading.serial)
    assert again == reading
    assert is_valid(by, text) == isinstance(reading, Decoded)


@given(st.text())
@example("ß ŉ ﬁ ① ² K")
def test_compacting_twice_changes_nothing(text: str) -> None:
    assert compact(compact(text)) == compact(text)


@given(st.lists(drawn(), max_size=3), drawn())
def test_reading_is_the_same_every_time(others: list[Drawn], case: Drawn) -> None:
    schemes = [*(other.scheme for other in others), case.scheme]
    serial = make(case.scheme, case.values)
    assert isinstance(decode(schemes, Subject.UNIT, serial), Decoded)
    assert decode(schemes, Subject.UNIT, serial) == decode(list(schemes), Subject.UNIT, serial)
    assert decode(schemes, Subject.BOARD, serial) == Unreadable(
        serial=serial, cause=UnreadableCause.NO_SCHEME
    )
