"""A catalogue with its own texts in another language, where it gives their translations.

The names of a catalogue are the maker's and the dealer's: no catalogue of translations of ours can hold
them, so its section `translations` does. What it does not translate stays as it is; the name of a role is
then set apart, so that the sentences around it can be built for a board all the same.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass, replace
from types import MappingProxyType
from typing import Any, TypeVar

from service.domain.catalogue.model import Catalogue
from service.words.language import SOURCE, Language

SHOWN = ("markets", "features", "accessories", "capabilities", "families", "parts", "sale", "campaigns")
"""The sections of a catalogue that hold texts for people, beside the roles; models keep their names."""
TEXTS = frozenset(
    {"name", "where", "recognise", "cable", "subject_name", "text", "receipt", "returns", "own_board"}
)
"""The fields that do; in a mapping of texts, its values."""
MAPPINGS = frozenset({"markets", "features", "accessories", "functions"})

T = TypeVar("T")


def in_language(catalogue: Catalogue, language: Language) -> Catalogue:
    """The catalogue as this language tells it. Ids, numbers and the revision stay."""
    if language.code == SOURCE:
        return catalogue
    told: Mapping[str, str] = catalogue.translations.get(language.code, {})
    boards = {role.name: language.foreign_board(role.name) for role in catalogue.roles.values()}

    def own(text: str) -> str:
        return told.get(text, text)

    def of_role(text: str) -> str:
        return told.get(text, boards.get(text, text))

    shown = {name: _told(name, getattr(catalogue, name), own) for name in SHOWN}
    return replace(catalogue, **shown, roles=_told("roles", catalogue.roles, of_role))


def _told(name: str, value: T, own: Callable[[str], str]) -> T:
    """A value with the texts in it translated. `name` is that of the field it stands in."""
    found: Any = value
    if isinstance(value, str):
        found = own(value) if name in TEXTS else value
    elif isinstance(value, Mapping):
        inner = "name" if name in MAPPINGS else ""
        found = MappingProxyType({key: _told(inner, each, own) for key, each in value.items()})
    elif isinstance(value, tuple):
        found = tuple(_told("", each, own) for each in value)
    elif is_dataclass(value) and not isinstance(value, type):
        found = replace(value, **{f.name: _told(f.name, getattr(value, f.name), own) for f in fields(value)})
    return found  # type: ignore[no-any-return] # of the type of the value, which no annotation can say
