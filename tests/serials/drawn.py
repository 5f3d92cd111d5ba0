"""Invented schemes of all kinds of fields, drawn at random, with values that fit them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from hypothesis import strategies as st

from service.domain.serials import Scheme, scheme_from_document

Document = dict[str, Any]
Value = int | str

ALPHABETS = ("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ", "0123456789ABCDEFGHJKLMNPQRSTUVWXYZ")
CHECKS = ("iso-7064-mod-37-2", "iso-7064-mod-37-36", "iso-7064-mod-97-10", "iso-7064-mod-1271-36")


class Drawn(NamedTuple):
    """A scheme, and the values of one serial of it."""

    scheme: Scheme
    values: Mapping[str, Value]


class Part(NamedTuple):
    """The keys of a field's document besides its name, and values that it can have."""

    keys: Document
    values: st.SearchStrategy[Value] | None


def texts(alphabet: str, least: int, most: int) -> st.SearchStrategy[str]:
    return st.text(alphabet, min_size=least, max_size=most)


@st.composite
def text_parts(draw: st.DrawFn, alphabet: str) -> Part:
    return Part({"kind": "text", "text": draw(texts(alphabet, 1, 3))}, None)


@st.composite
def code_parts(draw: st.DrawFn, alphabet: str) -> Part:
    length = draw(st.integers(1, 3))
    if draw(st.booleans()):
        only = draw(st.lists(texts(alphabet, length, length), min_size=1, max_size=5, unique=True))
        return Part({"kind": "code", "only": only}, st.sampled_from(only))
    return Part({"kind": "code", "length": length}, texts(alphabet, length, length))


@st.composite
def sequence_parts(draw: st.DrawFn, alphabet: str) -> Part:
    length = draw(st.integers(1, 4))
    characters = draw(st.sampled_from(["0123456789", alphabet]))
    greatest = len(characters) ** length - 1
    first = draw(st.integers(0, greatest))
    last = draw(st.integers(first, greatest))
    keys = {"kind": "sequence", "length": length, "characters": characters, "from": first, "to": last}
    return Part(keys, st.integers(first, last))


@st.composite
def year_parts(draw: st.DrawFn, alphabet: str) -> Part:
    first = draw(st.integers(1980, 2030))
    years = {"from": first, "to": first + draw(st.integers(0, 45))}
    forms: list[Document] = [{"length": 1}, {"length": 2}, {"length": 4}, {"codes": alphabet[:20]}]
    form = draw(st.sampled_from(forms))
    return Part({"kind": "year", "years": years, **form}, st.integers(years["from"], years["to"]))


def numbered(kind: str, last: int) -> st.SearchStrategy[Part]:
    return st.just(Part({"kind": kind}, st.integers(1, last)))


@st.composite
def drawn(draw: st.DrawFn) -> Drawn:
    """A scheme of up to six fields, often a check among them, and values for one serial."""
    alphabet = draw(st.sampled_from(ALPHABETS))
    kinds = [
        text_parts(alphabet),
        code_parts(alphabet),
        sequence_parts(alphabet),
        year_parts(alphabet),
        numbered("month", 12),
        # Week 53 and days after the 28th are of some years and months only; other tests hold them.
        numbered("week", 52),
        numbered("weekday", 7),
        numbered("day", 28),
    ]
    parts = draw(st.lists(st.one_of(kinds), min_size=1, max_size=6))
    if draw(st.booleans()):
        check = Part({"kind": "check", "system": draw(st.sampled_from(CHECKS))}, None)
        parts.insert(draw(st.integers(0, len(parts))), check)
    fields = [{"name": f"f{at}", **part.keys} for at, part in enumerate(parts)]
    values = {f"f{at}": draw(part.values) for at, part in enumerate(parts) if part.values is not None}
    document: Document = {
        "id": "drawn",
        "name": "drawn at random",
        "subject": "unit",
        "alphabet": alphabet,
        "fields": fields,
    }
    document |= draw(st.sampled_from([{}, {"label": label(fields, draw)}]))
    ordering = sorted(values)
    if ordering:
        document["order"] = draw(st.permutations(ordering))
    document |= dated(fields)
    return Drawn(scheme_from_document(document), values)


def label(fields: list[Document], draw: st.DrawFn) -> str:
    separators = st.sampled_from(["", " ", "-", ".", " - ", "/", "\N{EN DASH}"])
    return "".join(draw(separators) + "{" + field["name"] + "}" for field in fields) + draw(separators)


def dated(fields: list[Document]) -> Document:
    """A `made` that the fields allow, where they do."""
    first = {field["kind"]: field["name"] for field in reversed(fields)}
    for kinds in (("year", "week", "weekday"), ("year", "month", "day"), ("year", "week"), ("year",)):
        if all(kind in first for kind in kinds):
            return {"made": [first[kind] for kind in kinds]}
    return {}
