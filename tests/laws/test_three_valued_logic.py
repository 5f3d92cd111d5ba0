"""Unknown facts against three-valued logic, which is sound and gives up too early.

Sources: strong Kleene logic (S. C. Kleene, Introduction to Metamathematics, 1952, section 64, cited from
memory); SQL's NULL logic, which is the same, as SQLite computes it. The universe of 864 cases below is worked
out in three independent ways: three-valued logic by SQLite, every completion of the unknowns, and brute
force over the worlds of a catalogue that states the same.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Any

import pytest

from tests.laws import compare
from tests.oracles import plain_serials
from tests.oracles.answers import answer
from tests.oracles.brute_force import Table
from tests.oracles.catalogues import procedures
from tests.oracles.questions import Asked

TRUTH = {"T": 1, "U": None, "F": 0}
TABLES = {
    "a and b": "TUF UUF FFF",
    "a or b": "TTT TUU TUF",
    "not a or b": "TUF TUU TTT",
    "a = b": "TUF UUU FUT",
}
FIXED_POINTS = {
    "a or not a": "U",
    "a and not a": "U",
    "2 in (1, a)": "U",
    "1 in (1, a)": "T",
    "a in ()": "F",
    "a = a": "U",
    "a < 1": "U",
}


def computed(expression: str, a: str, b: str) -> str:
    with closing(sqlite3.connect(":memory:")) as db:
        statement = f"select {expression} from (select ? as a, ? as b)"  # noqa: S608 - own expressions
        (value,) = db.execute(statement, (TRUTH[a], TRUTH[b])).fetchone()
    return next(name for name, truth in TRUTH.items() if truth == value)


@pytest.mark.parametrize("expression", TABLES)
def test_sql_has_kleenes_tables(expression: str) -> None:
    rows = ["".join(computed(expression, a, b) for b in TRUTH) for a in TRUTH]
    assert " ".join(rows) == TABLES[expression]


def test_sql_negates_as_kleene_does() -> None:
    assert "".join(computed("not a", a, "U") for a in TRUTH) == "FUT"


@pytest.mark.parametrize("expression", FIXED_POINTS)
def test_what_three_valued_logic_makes_of_an_unknown(expression: str) -> None:
    assert computed(expression, "U", "U") == FIXED_POINTS[expression]


# --- the universe ---------------------------------------------------------------------------------

MODELS, SERIALS, PARTS, PROTOCOLS = ("ma", "mb"), (50, 150, None), ("P1", "P2", "P3"), (1, 2, None)
BINDINGS = ("blank", "ma", "mb", None)
ALL_SERIALS, MAIN_PROTOCOL, BREAK = (0, 1000), 1, 100
ROWS = [("P1", "ma", 0, BREAK), ("P2", "ma", BREAK, 1000), ("P2", "mb", BREAK, 1000), ("P3", "mb", 0, 1000)]
REPLACES = {"P1": ["P1"], "P2": ["P2", "P1"], "P3": ["P3", "P2", "P1"]}


@dataclass(frozen=True, slots=True)
class Case:
    """A main board for a unit, beside its panel; None is unknown."""

    model: str
    serial: int | None
    part: str
    binding: str | None
    protocol: int | None
    """Of the panel; the main boards all speak the same."""
    panel: str | None
    """The panel's binding."""


def universe() -> list[Case]:
    return [Case(*each) for each in product(MODELS, SERIALS, PARTS, BINDINGS, PROTOCOLS, BINDINGS)]


@cache
def by_kleene() -> dict[Case, str]:
    """Each case by SQLite: NULL for unknown, a chain of replacements by a recursive query."""
    with closing(sqlite3.connect(":memory:")) as db:
        return _by_kleene(db)


def _by_kleene(db: sqlite3.Connection) -> dict[Case, str]:
    db.executescript(
        "create table c (id, model, serial, part, binding, protocol, panel); create table s (old, new);"
    )
    db.execute("create table r (part, model, low, high)")
    cases = universe()
    fields = ("model", "serial", "part", "binding", "protocol", "panel")
    rows = [(at, *(getattr(case, field) for field in fields)) for at, case in enumerate(cases)]
    db.executemany("insert into c values (?, ?, ?, ?, ?, ?, ?)", rows)
    db.executemany("insert into r values (?, ?, ?, ?)", ROWS)
    db.executemany("insert into s values (?, ?)", [("P1", "P2"), ("P2", "P3")])
    # "Or" over rows is the largest of false (0), unknown (1) and true (2); over none it is false.
    statement = """
        with recursive can (old, new) as (
          select part, part from (select distinct part from c)
          union select s.old, can.new from can join s on s.new = can.old),
        listed (id, v) as (
          select id, max(case when r.part is null then 0 when serial >= low and serial < high then 2
                              when not (serial >= low and serial < high) then 0 else 1 end)
          from c join can on can.new = c.part left join r on r.part = can.old and r.model = c.model
          group by id)
        select id, (case v when 2 then 1 when 0 then 0 end)
          and (binding = 'blank' or binding = model) and (panel = 'blank' or panel = model) and protocol = ?
        from c join listed using (id) order by id"""
    found = db.execute(statement, (MAIN_PROTOCOL,)).fetchall()
    names = {truth: name for name, truth in TRUTH.items()}
    return {case: names[value] for case, (_, value) in zip(cases, found, strict=True)}


def completions(case: Case) -> Iterator[bool]:
    """Whether it fits, for every way of filling in what is unknown."""
    serials = range(*ALL_SERIALS, 50) if case.serial is None else (case.serial,)
    bindings = BINDINGS[:3] if case.binding is None else (case.binding,)
    panels = BINDINGS[:3] if case.panel is None else (case.panel,)
    protocols = (1, 2) if case.protocol is None else (case.protocol,)
    rows = [row for row in ROWS if row[0] in REPLACES[case.part] and row[1] == case.model]
    for serial, binding, panel, protocol in product(serials, bindings, panels, protocols):
        listed = any(low <= serial < high for *_, low, high in rows)
        yield listed and binding in ("blank", case.model) and panel in ("blank", case.model) and protocol == 1


@cache
def by_completions() -> dict[Case, str]:
    found = {case: set(completions(case)) for case in universe()}
    return {
        case: "U" if len(values) == 2 else "T" if values == {True} else "F" for case, values in found.items()
    }


@cache
def catalogue() -> dict[str, Any]:
    """The universe as a catalogue. The panel's protocol is a feature that the models require.

    P1 has a row for the second model too, with a date long past: a board of it may be bound to either.
    """
    text = {"where": "inside", "recognise": "by its label", "functions": {}}
    need = {"main": {}, "panel": {"features": ["protocol_one"]}}

    def serial(model: str, key: int) -> str:
        return f"{plain_serials.PREFIX}{codes[model]}{key:04d}"

    codes = {"ma": "A2", "mb": "B3"}
    fits: dict[str, list[dict[str, Any]]] = {
        "P1": [
            {"models": ["ma"], "serial_before": serial("ma", BREAK)},
            {"models": ["mb"], "date_before": "1990-01-01"},
        ],
        "P2": [{"models": [model], "serial_from": serial(model, BREAK)} for model in MODELS],
        "P3": [{"models": ["mb"]}],
    }
    replaces = {"P2": [{"part": "P1", "models": ["ma"]}], "P3": [{"part": "P2"}]}
    mains = [
        {
            "number": part,
            "name": part,
            "role": "main",
            "binding": "names",
            "fits": rows,
            "replaces": replaces.get(part, []),
        }
        for part, rows in fits.items()
    ]
    panels = [
        {"number": f"Q{at}", "name": "panel", "role": "panel", "binding": "follows", "features": features,
         "fits": [{"models": list(MODELS)}]}
        for at, features in ((1, {"protocol_one": 1}), (2, {}))
    ]  # fmt: skip
    return {
        "format": 1,
        "maker": "Nobody",
        "dealer": "No Shop",
        "currency": "EUR",
        "markets": {"north": "North"},
        "features": {"protocol_one": "protocol one"},
        "schemes": [plain_serials.unit_scheme({code: [model] for model, code in codes.items()})],
        "roles": {role: {"name": role, **text} for role in need},
        "families": {"fam": {"name": "Fam", "another_serial": "allowed", "procedures": procedures()}},
        "models": {model: {"name": model, "family": "fam", "roles": need} for model in MODELS},
        "parts": [*mains, *panels],
    }


def word(binding: str | None) -> dict[str, Any]:
    if binding is None:
        return {}
    said = {"binding": "blank"} if binding == "blank" else {"binding": "bound", "bound_model": binding}
    return {"claimed": said}


def asked(case: Case) -> Asked:
    unit: dict[str, Any] = {"model": case.model, "made_on": "2024-05-01", "market": "north"}
    if case.serial is not None:
        unit["serial"] = plain_serials.written(catalogue(), case.model, case.serial)
    part = {} if case.protocol is None else {"part": f"Q{case.protocol}"}
    unit["boards"] = [{"role": "panel", "introduced": True, **part, **word(case.panel)}]
    main = {"role": "main", "part": case.part, **word(case.binding)}
    return Asked(catalogue(), {"unit": unit, "boards": [main], "assume": "nothing"})


def weaker() -> list[Case]:
    """The cases in which three-valued logic can't tell and every completion says the same."""
    return [case for case in universe() if by_kleene()[case] == "U" != by_completions()[case]]


FIT = {"T": "yes", "F": "no", "U": "unknown"}


def test_the_universe_by_three_valued_logic() -> None:
    assert Counter(by_kleene().values()) == {"F": 630, "U": 202, "T": 32}


def test_three_valued_logic_is_sound() -> None:
    known = [case for case, value in by_kleene().items() if value != "U"]
    assert [case for case in known if by_kleene()[case] != by_completions()[case]] == []


def test_three_valued_logic_gives_up_too_early_in_twelve_cases() -> None:
    cases = weaker()
    assert Counter((case.part, case.model) for case in cases) == {
        ("P2", "ma"): 4,
        ("P3", "ma"): 4,
        ("P3", "mb"): 4,
    }
    assert {(case.serial, by_completions()[case]) for case in cases} == {(None, "T")}


def test_worlds_of_a_catalogue_are_those_completions() -> None:
    found = {}
    for case in universe():
        each = asked(case)
        found[case] = answer(Table(each.catalogue, each.question, each.records, most=500)).fit
    assert found == {case: FIT[value] for case, value in by_completions().items()}


def test_the_service_is_as_definite_as_the_completions() -> None:
    found = {case: compare.asked_of_engine(asked(case))["fit"] for case in universe()}
    assert found == {case: FIT[value] for case, value in by_completions().items()}


@pytest.mark.parametrize("case", weaker(), ids=str)
def test_a_serial_that_does_not_matter_is_no_reason_to_doubt(case: Case) -> None:
    assert compare.asked_of_engine(asked(case))["fit"] == "yes"
