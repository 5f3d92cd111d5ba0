"""The cases on which the laws are held: generated catalogues, worlds and questions, all from seeds."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from random import Random

from tests.oracles.brute_force import Table, TooManyWorldsError
from tests.oracles.catalogues import random_catalogue
from tests.oracles.questions import Asked, Writer
from tests.oracles.twists import TWISTS, open_question
from tests.oracles.world import Document, World
from tests.oracles.worlds import WorldMaker

__all__ = ["TWISTS", "Document", "Question", "catalogue", "questions", "text", "worlds", "written"]

MOST_WORLDS = 2_000
"""More worlds than this are left to the deep run's patience; see the meta-test for how many that are."""


@dataclass(frozen=True, slots=True)
class Question:
    """A question with something open, the table of its worlds, and the names of its twists."""

    seed: int
    asked: Asked
    table: Table
    twists: frozenset[str]


def text(document: Document) -> str:
    """A document as its file; every JSON text is YAML."""
    return json.dumps(document)


@cache
def catalogue(seed: int, *, small: bool = False) -> Document:
    return random_catalogue(Random(seed), small=small)


def worlds(seed: int, count: int) -> tuple[Document, list[World]]:
    """A catalogue and worlds over it."""
    document = catalogue(seed)
    maker = WorldMaker(Random(seed), document, strangers=seed % 2 == 1)
    return document, [maker.make() for _ in range(count)]


def written(seed: int, document: Document, made: list[World]) -> list[Asked]:
    """The worlds as questions with nothing left unknown."""
    writer = Writer(Random(seed), document)
    return [writer.stated(world) for world in made]


def questions(seed: int, count: int, *, most: int = MOST_WORLDS) -> Iterator[Question]:
    """Questions over one small catalogue; one with more worlds than `most` is passed over."""
    rng, document = Random(seed), catalogue(seed, small=True)
    makers = [WorldMaker(rng, document, ill=ill) for ill in (0.15, 0.5)]
    writer = Writer(rng, document)
    for number in range(count):
        asked, twists = open_question(rng, writer, makers[number % 2].make())
        try:
            yield Question(seed, asked, Table(document, asked.question, asked.records, most=most), twists)
        except TooManyWorldsError:
            continue
