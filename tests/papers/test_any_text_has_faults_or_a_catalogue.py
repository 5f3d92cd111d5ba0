"""Whatever is written in a file, the answer is its faults or a catalogue, and never an exception."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.domain.catalogue.compiled import compile_catalogue
from service.domain.catalogue.model import Catalogue
from service.papers import CatalogueFaults, canonical_document, check, load_document, read_catalogue
from tests.papers.documents import SMALL, as_text, changed_documents


def hold_the_law(text: str | bytes) -> Catalogue | None:
    faults = check(text)
    if faults:
        with pytest.raises(CatalogueFaults) as refused:
            read_catalogue(text)
        assert list(refused.value.faults) == faults
        assert [fault.line for fault in faults] == sorted(fault.line for fault in faults)
        assert all(fault.line >= 1 and fault.message and fault.mend for fault in faults)
        return None
    catalogue = read_catalogue(text)
    assert load_document(canonical_document(text)) == catalogue
    return catalogue


@given(changed_documents())
@settings(max_examples=250)
def test_a_changed_document(data: object) -> None:
    hold_for_changed(data)


@pytest.mark.deep
@given(changed_documents())
@settings(max_examples=20_000)
def test_many_changed_documents(data: object) -> None:
    hold_for_changed(data)


def hold_for_changed(data: object) -> None:
    """What has no fault can also be compiled for questions, breaks and replacements included."""
    catalogue = hold_the_law(as_text(data))
    if catalogue is not None:
        compiled = compile_catalogue(catalogue)
        for model in catalogue.models.values():
            for market in model.markets:
                compiled.models[model.id].hub(0, 0, market).factory_parts(next(iter(catalogue.roles)))


@given(st.data())
@settings(max_examples=250)
def test_a_text_with_a_piece_cut_out_or_put_in(data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(SMALL)))
    end = data.draw(st.integers(start, min(len(SMALL), start + 40)))
    piece = data.draw(
        st.text(max_size=5) | st.sampled_from(["&a ", "*a", "!t ", "\t", "{", "]", "- ", ": ", "'", "\n"])
    )
    hold_the_law(SMALL[:start] + piece + SMALL[end:])


@given(st.binary(max_size=200) | st.text(max_size=200))
@settings(max_examples=300)
def test_any_bytes_or_text(text: str | bytes) -> None:
    assert hold_the_law(text) is None


def test_the_changed_documents_are_interesting() -> None:
    """The law would hold idly if every change broke the document, or none did."""
    outcomes: dict[bool, int] = {True: 0, False: 0}
    codes: set[str] = set()

    @given(changed_documents())
    @settings(max_examples=200)
    def look(data: object) -> None:
        faults = check(as_text(data))
        outcomes[not faults] += 1
        codes.update(fault.code for fault in faults)

    look()
    assert outcomes[True] >= 5
    assert outcomes[False] >= 100
    assert len(codes) >= 20
