"""Whatever stands in a file, it is taken in or told of by line and column; nothing else happens."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.demo import serials as s
from service.domain.ledger.event import EventKind
from service.files.rows import Form, Unusable
from service.files.writing import encoded
from service.store.engine import writing
from service.store.rebuild import rebuild
from service.usecases.importing.source import Subject, columns_of
from tests.data.copying import COMPILED, new_ledger, taken_in
from tests.store.ledgers import state_tables

WORDS = (
    *("", "none", "blank", "bound", "plover-40", "MN-4100", "exposed", "water", "yes", "no", "2025-03-31"),
    *("2025-03-31T00:00:00Z", "1", "0", "-1", "\x00", "\u202e", "x" * 65, '"', "'", "=1+1", "\ud7ff", "main"),
    *(s.BLANK_MAIN, s.USED_PANEL_60, s.DONOR_PLOVER_60, "TBM4122080117Y", "ZZ-1", "١٢"),
)
texts = st.sampled_from(WORDS) | st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
FIELDS = (
    *(
        "board",
        "unit",
        "boards",
        "naming",
        "was",
        "step",
        "part",
        "role",
        "place",
        "policy",
        "model",
        "passed",
    ),
    *("holds", "binding", "withdraws", "placed", "reason", "hold", "release", "into", "to", "certain"),
)
fields = st.sampled_from(FIELDS)
plain = (
    st.none()
    | st.booleans()
    | st.integers(-(2**63), 2**64 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
)
values = st.recursive(
    plain | texts,
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(fields | texts, inner, max_size=3),
    max_leaves=6,
)
SOUND = ({"board": s.BLANK_MAIN}, {"board": s.USED_PANEL_60, "passed": True}, {"unit": s.DONOR_PLOVER_60})
datas = st.sampled_from(SOUND) | st.dictionaries(st.sampled_from(FIELDS), values, max_size=5)


GOOD: dict[Subject, dict[str, Any]] = {
    Subject.BOARDS: {"serial": s.USED_MAIN_40},
    Subject.UNITS: {"serial": s.CUSTOMER_WREN_4},
    Subject.EVENTS: {"kind": "received", "occurred_at": "2025-03-31", "data": {"board": s.USED_MAIN_40}},
}
"""A line of a board or unit that no other line speaks of."""


def rows(subject: Subject) -> st.SearchStrategy[dict[str, Any]]:
    """Lines of a kind of file, with anything in their columns."""
    columns = columns_of(subject, COMPILED.catalogue).names
    anything = st.dictionaries(st.sampled_from(columns), values, max_size=2)
    if subject is not Subject.EVENTS:
        return st.builds(lambda row, serial: {**row, "serial": serial}, anything, texts)
    told = {"kind": st.sampled_from(list(EventKind)), "occurred_at": st.just("2025-03-31"), "data": datas}
    return st.builds(lambda row, event: {**event, **row}, anything, st.fixed_dictionaries(told))


@pytest.mark.parametrize("subject", list(Subject))
def test_bad_lines_are_told_of_and_a_good_one_stands_whatever_is_before_it(
    published_file: Path, subject: Subject
) -> None:
    columns = columns_of(subject, COMPILED.catalogue).names
    refused_lines = 0
    with new_ledger(published_file) as engine:

        @settings(max_examples=60)
        @given(st.lists(rows(subject), min_size=1, max_size=5), st.sampled_from(list(Form)))
        def each(bad: list[dict[str, Any]], form: Form) -> None:
            lines = [*bad, GOOD[subject]]
            if form is Form.NDJSON:
                content = b"".join(orjson.dumps(line) + b"\n" for line in lines)
            else:
                content = b"".join(encoded(map(_as_texts, lines), columns, form))
            tally, flaws = taken_in(engine, subject, content, form)
            refused = {flaw.line for flaw in flaws}
            assert len(refused) == tally.refused
            assert content.count(b"\n") not in refused
            assert all(flaw.reason for flaw in flaws)
            nonlocal refused_lines
            refused_lines += tally.refused

        each()
        assert refused_lines > 50
        stands = state_tables(engine)
        with writing(engine) as connection:
            rebuild(connection)
        assert state_tables(engine) == stands


def _as_texts(line: dict[str, Any]) -> dict[str, Any]:
    """A line as a spreadsheet would have it: text, and JSON as text."""
    return {name: each if isinstance(each, str) else _json(each) for name, each in line.items()}


def _json(value: Any) -> str:
    return orjson.dumps(value).decode()


@pytest.mark.parametrize("subject", list(Subject))
def test_any_bytes_are_told_of(published_file: Path, subject: Subject) -> None:
    header = ",".join(columns_of(subject, COMPILED.catalogue).names).encode()
    with new_ledger(published_file) as engine:

        @settings(max_examples=60)
        @given(st.binary(max_size=120), st.booleans(), st.sampled_from(list(Form)))
        def each(content: bytes, headed: bool, form: Form) -> None:
            whole = header + b"\n" + content if headed else content
            with suppress(Unusable):
                tally, flaws = taken_in(engine, subject, whole, form)
                assert (tally.taken, len({flaw.line for flaw in flaws})) == (0, tally.refused)

        each()
