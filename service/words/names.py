"""The names that the catalogue gives to models, roles, parts and capabilities, for use in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from service.domain.catalogue.model import Catalogue
from service.domain.place import Place
from service.domain.terms import CapabilityId, FeatureId, MarketId, ModelId, PartNumber, RoleId
from service.words.language import Language, language
from service.words.name_texts import MACHINE
from service.words.translated import in_language

MANY = 2
"""More models than this are not named one by one."""


def _few(models: Sequence[str]) -> bool:
    return 0 < len(models) <= MANY


@dataclass(frozen=True, slots=True)
class Names:
    """Names of one catalogue in one language. An id without a name is its own name.

    `named` makes one of a catalogue as it was published.
    """

    catalogue: Catalogue
    language: Language

    def own(self, text: str) -> str:
        """A text of the catalogue that does not stand in `catalogue`, in this language where it tells it."""
        return self.catalogue.translations.get(self.language.code, {}).get(text, text)

    def model(self, model: str) -> str:
        """A model's name."""
        found = self.catalogue.models.get(ModelId(model))
        return found.name if found else model

    def models(self, models: Sequence[str]) -> str:
        """Several models as alternatives; past a few, just "machine"."""
        return self.language.either(map(self.model, models)) if _few(models) else self.language.say(MACHINE)

    def a_model(self, models: Sequence[str], many: str) -> str:
        """The same with the article, "a Plover 40 or a Plover 60"; past a few, the text of `many`."""
        if not _few(models):
            return self.language.say(many)
        return self.language.either(self.language.a(self.model(model)) for model in models)

    def place(self, place: Place) -> str:
        """The name of a place: its role's, with the side where there are several."""
        role = self.catalogue.roles.get(place.role)
        name = role.name if role else str(place.role)
        return f"{name} ({self.own(place.name)})" if place.name else name

    def fact(self, fact: str) -> tuple[str, str]:
        """The board's name and the attribute of a fact like `bumper.left.part`."""
        where, _, attribute = fact.rpartition(".")
        role, _, name = where.partition(".")
        return self.place(Place(RoleId(role), name)), attribute

    def part(self, part: str) -> str:
        """A part's name with its number."""
        found = self.catalogue.parts.get(PartNumber(part))
        return f"{found.name} ({part})" if found else part

    def feature(self, feature: str) -> str:
        """A feature's name."""
        return self.catalogue.features.get(FeatureId(feature), feature)

    def market(self, market: str) -> str:
        """A market's name."""
        return self.catalogue.markets.get(MarketId(market), market)

    def accessory(self, accessory: str) -> str:
        """An accessory's name."""
        return self.catalogue.accessories.get(accessory, accessory)

    def capability(self, capability: str) -> str:
        """A capability's name."""
        found = self.catalogue.capabilities.get(CapabilityId(capability))
        return found.name if found else capability


@lru_cache(maxsize=64)
def named(catalogue: Catalogue, code: str) -> Names:
    """The names of a catalogue in the language of that code, translated where it gives translations."""
    spoken = language(code)
    return Names(in_language(catalogue, spoken), spoken)
