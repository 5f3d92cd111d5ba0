"""The revision names the content: layout, comments and the order of fields do not count, every word does."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import re
from copy import deepcopy
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from service.domain.catalogue.model import Catalogue
from service.papers import CatalogueFaults, canonical_document, check, load_document, read_catalogue
from tests.papers.documents import CATALOGUES, SMALL, SMALL_DATA, as_data, as_text, changed_documents

DEMO_AND_OTHERS = pytest.mark.parametrize("text", CATALOGUES.values(), ids=CATALOGUES)


def revision(text: str) -> str:
    return read_catalogue(text).revision


@DEMO_AND_OTHERS
def test_it_is_a_hash_of_the_canonical_document(text: str) -> None:
    digest = hashlib.sha256(canonical_document(text).encode()).hexdigest()
    assert revision(text) == f"r-{digest[:16]}"
    assert re.fullmatch("r-[0-9a-f]{16}", revision(text))


@DEMO_AND_OTHERS
def test_the_canonical_document_is_json_and_a_catalogue_file_of_the_same_content(text: str) -> None:
    document = canonical_document(text)
    assert json.loads(document)["format"] == 1
    assert canonical_document(document) == document
    read, again, loaded = read_catalogue(document), read_catalogue(text), load_document(document)
    for each in dataclasses.fields(Catalogue):
        assert getattr(read, each.name) == getattr(again, each.name) == getattr(loaded, each.name)


@DEMO_AND_OTHERS
def test_comments_and_layout_do_not_count(text: str) -> None:
    data = as_data(text)
    commented = "# A first line.\n" + text + "\n# The last line.\n"
    flow = yaml.safe_dump(data, default_flow_style=True, sort_keys=False, allow_unicode=True)
    block = yaml.safe_dump(data, default_flow_style=False, sort_keys=False, indent=7)
    assert {revision(commented), revision(flow), revision(block), revision(text.replace("\n", "\r\n"))} == {
        revision(text)
    }


def fields_turned_round(data: Any) -> Any:
    """The same content with the fields of each part, model, family and role in reverse order."""
    turned = {key: deepcopy(data[key]) for key in reversed(data)}
    for section in ("roles", "models", "families", "capabilities"):
        turned[section] = {name: dict(reversed(told.items())) for name, told in data[section].items()}
    turned["parts"] = [dict(reversed(part.items())) for part in data["parts"]]
    return turned


@DEMO_AND_OTHERS
def test_the_order_of_fields_does_not_count(text: str) -> None:
    turned = as_text(fields_turned_round(as_data(text)))
    assert turned != as_text(as_data(text))
    assert revision(turned) == revision(text)


def test_a_stated_default_does_not_count() -> None:
    stated = (
        SMALL.replace(
            "    name: Insects", "    name: Insects\n    covered: true\n    another_serial: refused"
        )
        .replace("      panel: {}\n    allows", "      panel: {required: true, features: []}\n    allows")
        .replace("    role: lamp\n", "    role: lamp\n    binding: free\n    printed: []\n")
        .replace("features: []", "markets: [here, there]")
    )
    assert check(stated) == []
    # `markets: [here, there]` is not the default, which is to say nothing: it names all there are today.
    assert revision(stated) != revision(SMALL)
    assert revision(stated.replace(", markets: [here, there]", "")) == revision(SMALL)


def test_the_order_of_entries_counts_because_answers_follow_it() -> None:
    turned = deepcopy(SMALL_DATA)
    turned["roles"] = dict(reversed(turned["roles"].items()))
    assert check(as_text(turned)) == []
    assert revision(as_text(turned)) != revision(SMALL)
    assert list(read_catalogue(as_text(turned)).roles) == ["lamp", "panel", "main"]


@given(changed_documents())
@settings(max_examples=200)
def test_another_catalogue_is_another_revision(data: Any) -> None:
    """Equal revisions are equal catalogues, and the other way round."""
    text = as_text(data)
    if check(text):
        return
    ours, original = read_catalogue(text), read_catalogue(SMALL)
    assert (ours.revision == original.revision) == (ours == original)


@given(st.text(max_size=40))
@settings(max_examples=200)
def test_a_document_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(CatalogueFaults):
        load_document(text)


def test_a_release_by_its_name_alone_and_as_a_record_of_it_are_one_content() -> None:
    names = 'releases: ["1.0", "1.1"]'
    records = 'releases: [{version: "1.0"}, "1.1"]'
    assert SMALL.count(names) == 1
    assert revision(SMALL.replace(names, records)) == revision(SMALL)
