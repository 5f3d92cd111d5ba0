"""The single facts of software that stand in the way, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.domain.place import Place
from service.domain.software.facts import Fact, FactKind
from service.domain.software.ranges import Range
from service.domain.software.releases import Software
from service.domain.terms import RoleId
from service.words import software_texts as texts
from service.words.name_texts import WHATEVER_IT_IS
from service.words.names import Names

Wanted = Mapping[RoleId, Range]


def fact_sentence(fact: Fact, wanted: Wanted, models: Sequence[str], names: Names) -> str:
    """One fact that stands in the way."""
    return names.language.say(
        texts.FACTS[fact.kind],
        board=names.place(Place(fact.role)),
        version=str(fact.version),
        other=names.place(Place(fact.other)) if fact.other else "",
        range=str(range_of(fact, names.catalogue.software, wanted)).removeprefix("="),
        a_unit=names.a_model(models, many=WHATEVER_IT_IS),
    )


def range_of(fact: Fact, software: Software, wanted: Wanted) -> Range | None:
    """The range that a fact is about; None for one that is about none."""
    if fact.kind is FactKind.WANTED:
        return wanted[fact.role]
    release = software.release(fact.role, fact.version) if fact.version is not None else None
    if release is None:
        return None
    if fact.kind is FactKind.NEEDS and fact.other is not None:
        return release.needs[fact.other].range
    return release.loads_from if fact.kind is FactKind.LOADS_FROM else None
