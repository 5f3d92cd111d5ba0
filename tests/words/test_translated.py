"""A catalogue in another language: its texts change where it translates them, and nothing else does."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from service.demo.world import demo_catalogue
from service.domain.catalogue.model import Catalogue
from service.domain.place import Place
from service.domain.terms import RoleId
from service.papers import read_catalogue
from service.words.language import language
from service.words.names import named
from service.words.translated import in_language
from tests.words.catalogues import TRANSLATED


@cache
def demo() -> Catalogue:
    return read_catalogue(demo_catalogue())


def test_english_is_the_catalogue_itself() -> None:
    assert in_language(demo(), language("en")) is demo()


def test_texts_at_every_depth_are_translated() -> None:
    told = in_language(demo(), language("de"))
    main, bumper = told.roles[RoleId("main")], told.roles[RoleId("bumper")]
    assert main.name == "Hauptplatine"
    assert set(main.functions.values()) >= {"Radantrieb", "Laden"}
    assert bumper.connection is not None
    assert bumper.connection.cable == "Flachbandkabel"
    assert told.markets == {"mainland": "Festland", "isles": "Inseln"}
    assert any(each.name == "Fahrgestelldichtung" for part in told.parts.values() for each in part.companions)
    assert any(p.subject_name == "Ladestation" for f in told.families.values() for p in f.procedures)
    assert told.sale is not None
    assert all("Beleg" in terms.receipt for terms in told.sale.terms.values())


@pytest.mark.parametrize("code", TRANSLATED)
def test_ids_numbers_and_the_revision_stay(code: str) -> None:
    told = in_language(demo(), language(code))
    assert told.revision == demo().revision
    assert told.models == demo().models
    assert [(part.number, part.price, part.listings, part.features) for part in told.parts.values()] == [
        (part.number, part.price, part.listings, part.features) for part in demo().parts.values()
    ]
    assert [role.places for role in told.roles.values()] == [role.places for role in demo().roles.values()]


@pytest.mark.parametrize(
    ("code", "name"), [("de", "Platine „main board“"), ("sv", "kort ”main board”"), ("en", "main board")]
)
def test_a_kind_of_board_without_a_translation_is_told_as_a_board(code: str, name: str) -> None:
    plain = replace(demo(), revision=f"r-plain-{code}", translations={})
    assert named(plain, code).place(Place(RoleId("main"))) == name


def test_a_side_is_translated_with_its_board() -> None:
    assert named(demo(), "de").place(Place(RoleId("bumper"), "left")) == "Stoßfängerplatine (links)"


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_demo_translates_all_of_its_texts(code: str) -> None:
    """A text that was added to the catalogue and not to its translations is found here."""
    told = demo().translations[code]
    catalogue = demo()
    texts = {role.name for role in catalogue.roles.values()} | set(catalogue.features.values())
    texts |= {role.where for role in catalogue.roles.values()} | {
        r.recognise for r in catalogue.roles.values()
    }
    texts |= {name for role in catalogue.roles.values() for name in role.functions.values()}
    texts |= {each.name for each in catalogue.capabilities.values()} | set(catalogue.accessories.values())
    texts |= {part.name for part in catalogue.parts.values()} | set(catalogue.markets.values())
    texts |= {each.name for part in catalogue.parts.values() for each in part.companions}
    texts |= {each.text for each in catalogue.campaigns} | {each.name for each in catalogue.campaigns}
    assert texts - set(told) == set()
