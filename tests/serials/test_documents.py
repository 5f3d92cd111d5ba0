"""A scheme's document: all faults at once, each with its place and how to mend it."""

from __future__ import annotations

from copy import deepcopy
from datetime import date
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from service.domain import serials
from service.domain.serials import Fault, SchemeFaults, scheme_faults, scheme_from_document
from tests.serials.published import DATA, SCHEMES

Document = dict[str, Any]
Path = tuple[str | int, ...]

GOOD: Document = yaml.safe_load((DATA / "schemes" / "yard_unit.yaml").read_text(encoding="utf-8"))
PRODUCT, YEAR, WEEK, NUMBER, CHECK = 1, 2, 3, 4, 5
"""Where these fields stand in it."""


def changed(path: Path, value: Any) -> Document:
    """The good document with one value set, or with a key left out where the value is `...`."""
    document = deepcopy(GOOD)
    inner: Any = document
    for step in path[:-1]:
        inner = inner[step]
    if value is ...:
        del inner[path[-1]]
    else:
        inner[path[-1]] = value
    return document


@pytest.mark.parametrize("name", SCHEMES)
def test_a_published_scheme_has_no_fault(name: str) -> None:
    text = (DATA / "schemes" / f"{name}.yaml").read_text(encoding="utf-8")
    assert scheme_faults(yaml.safe_load(text)) == []
    assert text.startswith("# ")


def test_the_example_of_the_docstring_has_no_fault() -> None:
    example = (serials.__doc__ or "").split("```yaml")[1].split("```")[0]
    assert scheme_faults(yaml.safe_load(example)) == []


def test_equal_documents_are_equal_schemes_and_can_be_keys() -> None:
    one, other = scheme_from_document(GOOD), scheme_from_document(deepcopy(GOOD))
    assert one == other
    assert len({one, other}) == 1
    assert scheme_from_document(changed(("name",), "another")) != one


FAULTS: list[tuple[Path, Any, Path, str, str]] = [
    # What is changed, to what; where the fault is told, what the message and what the mend must hold.
    (("id",), ..., (), "'id'", "add"),
    (("id",), "Yard Unit", ("id",), "identifier", "lower-case"),
    (("id",), 7, ("id",), "7", "quotes"),
    (("id",), "x" * 65, ("id",), "…", "64"),
    (("name",), "", ("name",), "''", "characters"),
    (("name",), "two\nlines", ("name",), "two", "one line"),
    (("subject",), "machine", ("subject",), "'machine'", "board, unit"),
    (("subject",), "board", ("models",), "models", "parts"),
    (("subject",), ["unit"], ("subject",), "[…]", "board, unit"),
    (("parts",), [{"parts": ["X"]}], ("parts",), "parts", "models"),
    (("alphabet",), "AABB", ("alphabet",), "'AABB'", "once"),
    (("alphabet",), "abc", ("alphabet",), "'abc'", "upper-case"),
    (("alphabet",), "letters", ("fields", YEAR), "'0'", "alphabet"),
    (("lookalikes",), "no", ("lookalikes",), "'no'", "without quotes"),
    (("made",), ["week", "year"], ("made",), "date", "year, week"),
    (("made",), ["product"], ("made",), "date", "year"),
    (("made",), ["yaer"], ("made",), "'yaer'", "year"),
    (("made",), ["year", "year"], ("made",), "twice", "once"),
    (("made",), [], ("made",), "0", "1 to"),
    (("order",), "year", ("order",), "'year'", "list"),
    (("order",), ["check"], ("order",), "'check'", "sequences"),
    (("order",), ["maker"], ("order",), "'maker'", "sequences"),
    (("label",), "{maker}{product}", ("label",), "every field", "{check}"),
    (("label",), "{maker}x{product}{year}{week}{number}{check}", ("label",), "'x'", "dashes"),
    (("colour",), "red", ("colour",), "'colour'", "leave it out"),
    ((7,), "red", ("7",), "7", "leave it out"),
    (("fields",), ..., ("fields",), "'fields'", "add"),
    (("fields",), {}, ("fields",), "{…}", "list"),
    (("fields",), [], ("fields",), "0", "1 to"),
    (("fields",), [{}] * 33, ("fields",), "33", "32"),
    (("fields", PRODUCT), "TM", ("fields", PRODUCT), "'TM'", "keys"),
    (("fields", PRODUCT, "name"), "maker", ("fields", PRODUCT, "name"), "'maker'", "of its own"),
    (("fields", PRODUCT, "name"), "Product", ("fields", PRODUCT, "name"), "'Product'", "lower-case"),
    (("fields", PRODUCT, "kind"), ..., ("fields", PRODUCT), "'kind'", "add"),
    (("fields", PRODUCT, "kind"), "cod", ("fields", PRODUCT, "kind"), "'cod'", "code"),
    (("fields", PRODUCT, "length"), ..., ("fields", PRODUCT), "'length'", "add"),
    (("fields", PRODUCT, "length"), 0, ("fields", PRODUCT, "length"), "0", "1 to 64"),
    (("fields", PRODUCT, "length"), 10**5000, ("fields", PRODUCT, "length"), "2^", "1 to 64"),
    (("fields", PRODUCT, "length"), True, ("fields", PRODUCT, "length"), "true", "whole number"),
    (("fields", PRODUCT, "length"), 2.0, ("fields", PRODUCT, "length"), "whole number", "without quotes"),
    (("fields", PRODUCT, "length"), [3, 2], ("fields", PRODUCT, "length"), "bounds", "least"),
    (("fields", PRODUCT, "length"), [1, 2, 3], ("fields", PRODUCT, "length"), "bounds", "least"),
    (("fields", PRODUCT, "length"), 60, ("fields",), "too long", "64"),
    (("fields", PRODUCT, "characters"), "A", ("fields", PRODUCT, "characters"), "'A'", "two or more"),
    (("fields", PRODUCT, "only"), ["W4"], ("fields", PRODUCT, "length"), "only", "leave"),
    (("fields", PRODUCT, "text"), "W4", ("fields", PRODUCT, "text"), "'text'", "leave it out"),
    (("fields", 0, "text"), "T-M", ("fields", 0, "text"), "'T-M'", "dashes"),
    (("fields", 0, "text"), 10, ("fields", 0, "text"), "10", "quotes"),
    (("fields", YEAR, "years"), {"from": 2030, "to": 2012}, ("fields", YEAR, "years"), "2030", "earlier"),
    (("fields", YEAR, "years"), {"from": 12, "to": 31}, ("fields", YEAR, "years"), "12", "1900"),
    (("fields", YEAR, "years"), {"from": 2012}, ("fields", YEAR, "years"), "'to'", "{from: "),
    (("fields", YEAR, "years"), 2012, ("fields", YEAR, "years"), "2012", "keys"),
    (("fields", YEAR, "length"), 3, ("fields", YEAR, "length"), "three", "codes"),
    (("fields", YEAR, "codes"), "ABC", ("fields", YEAR, "length"), "codes", "leave"),
    (("fields", WEEK, "length"), 2, ("fields", WEEK, "length"), "'length'", "leave it out"),
    (("fields", NUMBER, "to"), 10_000, ("fields", NUMBER), "10000", "9999"),
    (("fields", NUMBER, "from"), -1, ("fields", NUMBER, "from"), "-1", "0 to"),
    (("fields", CHECK, "system"), "luhm", ("fields", CHECK, "system"), "'luhm'", "luhn"),
    (("fields", CHECK, "system"), "luhn", ("fields", CHECK), "luhn", "another system"),
    (("fields", CHECK, "system"), "vin", ("fields", CHECK), "vin", "another system"),
    (
        ("fields", CHECK),
        {"name": "check", "kind": "check", "system": "iso-6346"},
        ("fields", CHECK),
        "11",
        "10",
    ),
    (
        ("fields", CHECK),
        {"name": "check", "kind": "check", "system": "vin", "over": ["product"]},
        ("fields", CHECK),
        "does not run",
        "another system",
    ),
    (
        ("fields", CHECK),
        {"name": "check", "kind": "check", "system": "iso-6346", "over": ["number"]},
        ("fields", CHECK),
        "4 to 4",
        "10 to 10",
    ),
    (("fields", CHECK, "over"), ["check"], ("fields", CHECK, "over"), "'check'", "before"),
    (("fields", CHECK, "over"), ["number", "number"], ("fields", CHECK, "over"), "twice", "once"),
    (("fields", CHECK, "over"), ["colour"], ("fields", CHECK, "over"), "'colour'", "name fields"),
    (("models",), {"W4": "wren-4"}, ("models",), "{…}", "list"),
    (("models", 0), "wren-4", ("models", 0), "'wren-4'", "keys"),
    (("models", 0, "models"), ..., ("models", 0), "'models'", "add"),
    (("models", 0, "models"), "wren-4", ("models", 0, "models"), "'wren-4'", "list"),
    (("models", 0, "models"), ["Wren 4"], ("models", 0, "models", 0), "'Wren 4'", "lower-case"),
    (("models", 0, "unless"), {}, ("models", 0, "unless"), "'unless'", "when"),
    (("models", 0, "when"), [], ("models", 0, "when"), "[…]", "keys"),
    (("models", 0, "when", "colour"), "red", ("models", 0, "when", "colour"), "'colour'", "product"),
    (("models", 0, "when", "check"), "A", ("models", 0, "when", "check"), "'check'", "product"),
    (("models", 0, "when", "product"), 44, ("models", 0, "when", "product"), "44", "quotes"),
    (("models", 0, "when", "product"), "W4X", ("models", 0, "when", "product"), "'W4X'", "2"),
    (
        ("models", 0, "when", "product"),
        {"from": "W8", "to": "W4"},
        ("models", 0, "when", "product"),
        "never",
        "2",
    ),
    (("models", 0, "when", "product"), {"from": "W"}, ("models", 0, "when", "product"), "'W'", "2"),
    (
        ("models", 0, "when", "product"),
        {"above": "W4"},
        ("models", 0, "when", "product"),
        "'from'",
        "{from: ",
    ),
    (("models", 0, "when", "year"), 2032, ("models", 0, "when", "year"), "2032", "2012 to 2031"),
    (("models", 0, "when", "year"), "2020", ("models", 0, "when", "year"), "'2020'", "without quotes"),
    (("models", 0, "when", "year"), [2020, 2050], ("models", 0, "when", "year"), "2050", "2012 to 2031"),
    (("models", 0, "when", "week"), 54, ("models", 0, "when", "week"), "54", "1 to 53"),
    (("models", 0, "when", "number"), {"from": 5, "to": 4}, ("models", 0, "when", "number"), "5..4", "9999"),
    (("models", 0, "when", "number"), 10_000, ("models", 0, "when", "number"), "10000", "9999"),
    (
        ("models", 0, "when", "number"),
        {"from": date(2020, 1, 1)},
        ("models", 0, "when", "number"),
        "…",
        "number",
    ),
]


@pytest.mark.parametrize(
    ("path", "value", "place", "message", "mend"),
    FAULTS,
    ids=[f"{at}-{'.'.join(map(str, case[0]))}" for at, case in enumerate(FAULTS)],
)
def test_a_fault_is_told_with_its_place_and_how_to_mend_it(
    path: Path, value: Any, place: Path, message: str, mend: str
) -> None:
    faults = scheme_faults(changed(path, value))
    told = [fault for fault in faults if fault.path == place and message in fault.message]
    assert told, faults
    assert mend in told[0].mend


@pytest.mark.parametrize(
    "wanted", [0, 9999, {"from": 9999}, {"to": 0}, {"from": 7, "to": 7}, [0, 9999]], ids=str
)
def test_a_condition_may_name_a_single_number_up_to_the_bounds(wanted: Any) -> None:
    assert scheme_faults(changed(("models", 0, "when", "number"), wanted)) == []


def test_all_faults_are_told_at_once() -> None:
    document = deepcopy(GOOD)
    document["id"] = "Yard"
    document["fields"][PRODUCT]["length"] = 0
    document["fields"][WEEK]["kind"] = "weeks"
    document["fields"][CHECK]["system"] = "luhm"
    document["order"] = ["number", "colour"]
    document["models"][0]["when"]["year"] = 2050
    document["models"][1]["models"] = ["Wren 8", 8]
    document["colour"] = "red"
    assert {fault.path for fault in scheme_faults(document)} == {
        ("id",),
        ("fields", PRODUCT, "length"),
        ("fields", WEEK, "kind"),
        ("fields", CHECK, "system"),
        ("order",),
        ("models", 0, "when", "year"),
        ("models", 1, "models", 0),
        ("models", 1, "models", 1),
        ("colour",),
    }


def test_a_field_with_a_fault_brings_no_second_one() -> None:
    # The product, the order by week, the rows by product and the check over all fields hang on them.
    document = changed(("fields", PRODUCT, "length"), 0)
    document["fields"][WEEK]["kind"] = "weeks"
    assert [fault.path for fault in scheme_faults(document)] == [
        ("fields", PRODUCT, "length"),
        ("fields", WEEK, "kind"),
    ]


def test_two_fields_of_variable_length_are_refused() -> None:
    document = changed(("fields", PRODUCT, "length"), [1, 2])
    document["fields"][NUMBER]["length"] = [4, 5]
    (fault,) = scheme_faults(document)
    assert fault.path == ("fields",)
    assert "'product' and 'number'" in fault.message


def test_an_order_with_too_many_places_for_one_serial_is_refused() -> None:
    # One digit for two hundred years, three times over: 8,000 places.
    years = {"kind": "year", "length": 1, "years": {"from": 1950, "to": 2149}}
    document = GOOD | {"fields": [{"name": name, **years} for name in "abc"], "order": list("abc")}
    (fault,) = scheme_faults({key: document[key] for key in ("id", "name", "subject", "fields", "order")})
    assert fault.path == ("order",)
    assert "8000 places" in fault.message


def test_the_error_of_a_document_with_faults_has_them_all() -> None:
    with pytest.raises(SchemeFaults, match=r"id: .*; fields\.1\.length: ") as raised:
        scheme_from_document(changed(("fields", PRODUCT, "length"), 0) | {"id": "X"})
    assert list(raised.value.faults) == scheme_faults(changed(("fields", PRODUCT, "length"), 0) | {"id": "X"})


PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.just(-(10**4000))
    | st.floats()
    | st.text(max_size=12)
    | st.sampled_from(
        ["year", "week", "number", "digits", "luhn", "unit", "board", "code", "W4", "{maker}", "x" * 5000]
    )
    | st.dates(),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.text(max_size=5)
            | st.integers()
            | st.none()
            | st.sampled_from(["name", "kind", "from", "to", "when", "models", "length", "only", "fields"]),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)


def places(value: Any, path: Path = ()) -> list[Path]:
    """All paths into a document."""
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(found for step, inner in steps for found in places(inner, (*path, step)))]


def well_told(faults: list[Fault]) -> bool:
    return all(fault.message and fault.mend and len(fault.message) < 400 for fault in faults)


@given(PLAIN)
def test_no_plain_data_makes_reading_a_document_fail(value: Any) -> None:
    faults = scheme_faults(value)
    assert faults
    assert well_told(faults)


@given(st.lists(st.tuples(st.sampled_from(places(GOOD)[1:]), PLAIN), min_size=1, max_size=3))
def test_a_damaged_document_is_told_or_is_a_scheme(damages: list[tuple[Path, Any]]) -> None:
    # Deepest first, so that every place is still there.
    document = deepcopy(GOOD)
    for path, value in sorted(damages, key=lambda damage: -len(damage[0])):
        inner: Any = document
        for step in path[:-1]:
            inner = inner[step]
        inner[path[-1]] = value
    faults = scheme_faults(document)
    assert well_told(faults)
    if faults:
        with pytest.raises(SchemeFaults):
            scheme_from_document(document)
    else:
        assert scheme_from_document(document).fields


def test_a_document_that_holds_itself_is_told() -> None:
    circle: list[Any] = []
    circle.append(circle)
    knot: dict[str, Any] = {}
    knot["fields"] = knot
    for path in (("fields",), ("models",), ("models", 0, "when"), ("fields", YEAR, "years"), ("order",)):
        assert scheme_faults(changed(path, circle))
        assert scheme_faults(changed(path, knot))


def test_absurd_sizes_are_refused() -> None:
    many = [f"{number:04d}" for number in range(1001)]
    assert scheme_faults(changed(("fields", PRODUCT), {"name": "product", "kind": "code", "only": many}))
    assert scheme_faults(changed(("models",), GOOD["models"] * 300))
    assert scheme_faults(changed(("fields", 0, "text"), "A" * 1_000_000))
    assert scheme_faults(changed(("label",), "{" * 1_000_000))
    assert scheme_faults(changed(("fields", YEAR, "years"), {"from": 1, "to": 10**9}))
    # Python refuses to write out a number of more than 4,300 digits.
    assert well_told(scheme_faults(changed(("fields", NUMBER, "to"), -(10**5000))))
    assert well_told(scheme_faults({10**5000: 1}))
