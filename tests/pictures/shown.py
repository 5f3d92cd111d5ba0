"""A great many pictures: of every case of the trade, in every language, and of machines of odd sizes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from gettext import NullTranslations
from pathlib import Path
from typing import Any

import yaml

from service.api.asking import question
from service.api.schemas.question import FitQuestion
from service.domain.facts.question import ImpossibleQuestion, Question, StatedUnit
from service.domain.fit.answer import Answer
from service.domain.fit.mending import advice, new_boards
from service.domain.terms import Means
from service.pictures.content import Picture
from service.pictures.layout import laid_out
from service.pictures.shapes import Sheet
from service.pictures.telling import fit_picture, unit_picture
from service.usecases.units import agreement_of
from service.words.language import LANGUAGES, Language
from service.words.names import Names, named
from tests.support.cases import answer
from tests.trade.case_files import cases
from tests.trade.shops import Shop, opened, shop

SMALL = Path(__file__).parents[1] / "papers" / "small.yaml"
HOSTILE = """<script>alert("1")</script> & ]]> '"""
ENDLESS = ("Donaudampfschifffahrtselektrizitätenhauptbetriebswerk" * 3)[:106]
"""With what stands before it as long as a catalogue lets a name be."""


class Wordy(NullTranslations):
    """A language in which everything takes half as many words again, some of them very long."""

    def gettext(self, message: str) -> str:
        return message + " Donaudampfschifffahrtselektrizität und so weiter" * (len(message) > 12)


def answers(of: Shop, asked: Question, events: Any = ()) -> tuple[Answer, Answer]:
    """The answer to a question, and that about the unit as it is."""
    records = of.records(asked, events)
    as_it_is = answer(of.compiled, asked._replace(boards=()), records)
    return answer(of.compiled, asked, records), as_it_is


def fit_shown(of: Shop, names: Names, events: Any = (), **asked: Any) -> Picture:
    return fit_picture(*answers(of, question(FitQuestion().load(asked)), events), names)


def unit_shown(of: Shop, names: Names, serial: str, means: Means = Means.COUNTER) -> Picture:
    asked = Question(unit=StatedUnit(serial=serial), means=means)
    found, _ = answers(of, asked)
    renewing = new_boards(asked.unit, found)
    told = advice(found, answers(of, renewing)[0] if renewing else None)
    return unit_picture(found, agreement_of(found).value, told, names)


def pictures(code: str, first: int = 0, step: int = 1) -> Iterator[tuple[str, Picture]]:
    """Every case of the trade, and every machine of the demo, in a language; or every so many."""
    yield from _of_cases(code, first, step)
    yield from _of_units(code, first, step)


def _of_cases(code: str, first: int, step: int) -> Iterator[tuple[str, Picture]]:
    for case in cases()[first::step]:
        asked = case.given.get("question")
        if asked is not None:
            names = named(case.shop.compiled.catalogue, code)
            try:
                yield case.name, fit_shown(case.shop, names, case.given.get("events", ()), **asked)
            except ImpossibleQuestion:
                continue


def _of_units(code: str, first: int, step: int) -> Iterator[tuple[str, Picture]]:
    demo = shop("demo")
    names = named(demo.compiled.catalogue, code)
    units = [(name, serial) for name, serial in demo.serials.items() if serial.startswith("TM")]
    for name, serial in units[first::step]:
        yield name, unit_shown(demo, names, serial)


def _many(name: str) -> dict[str, Any]:
    """A catalogue whose machines have sixteen places, and names like `name`."""
    document: dict[str, Any] = yaml.safe_load(SMALL.read_text(encoding="utf-8"))
    document["roles"] = {
        "main": {"name": f"main board {name}", "releases": ["1.0", "1.1"]},
        "panel": {"name": f"panel board {name}", "places": ["left", "middle", "right"]},
        "lamp": {"name": f"lamp board {name}", "places": [f"arm_{at}" for at in range(1, 9)]},
        "rain": {"name": f"rain board {name}", "places": [f"hub_{at}" for at in range(1, 5)]},
    }
    document["models"]["bee"]["roles"]["rain"] = {}
    document["parts"].append(
        {"number": "R-1", "name": "rain board", "role": "rain", "fits": [{"models": ["bee"]}]}
    )
    document["models"]["bee"]["name"] = f"Bee {name}"
    return document


@cache
def crowded(name: str, wordy: bool = False) -> tuple[tuple[str, Picture], ...]:
    """Machines of sixteen places, and sixteen boards at once; with names like `name`."""
    of = opened(yaml.safe_dump(_many(name), allow_unicode=True))
    names = named(of.compiled.catalogue, "en")
    if wordy:
        names = Names(names.catalogue, Language("de", Wordy()))
    places = [("panel", place) for place in ("left", "middle", "right")]
    places += [("lamp", f"arm_{at}") for at in range(1, 9)]
    places += [("rain", f"hub_{at}") for at in range(1, 5)]
    boards = [
        {"role": "main", "part": "M-1", "claimed": {"bound_model": "ant"}},
        *({"role": role, "place": place} for role, place in places),
    ]
    return (
        ("sixteen", unit_shown(of, names, "BB2010600")),
        ("sixteen at once", fit_shown(of, names, unit={"serial": "BB2010600"}, boards=boards)),
        ("one of unknown kind", fit_shown(of, names, unit={"model": "bee"}, boards=[{"serial": "?"}])),
        ("nothing known", fit_shown(of, names, unit={}, boards=[{"part": "P-1"}], assume="nothing")),
    )


def all_pictures() -> Iterator[tuple[str, Picture]]:
    for code in LANGUAGES:
        yield from ((f"{code} {name}", picture) for name, picture in pictures(code))
    yield from odd_pictures()


@cache
def some_pictures() -> tuple[tuple[str, Picture], ...]:
    """Each case and machine in one of the languages, and all of odd sizes."""
    return tuple(_some_pictures())


def _some_pictures() -> Iterator[tuple[str, Picture]]:
    for at, code in enumerate(LANGUAGES):
        found = pictures(code, at, len(LANGUAGES))
        yield from ((f"{code} {name}", picture) for name, picture in found)
    yield from odd_pictures()


def odd_pictures() -> Iterator[tuple[str, Picture]]:
    for name, wordy in (("", False), ("", True), (HOSTILE, False), (ENDLESS, True)):
        yield from ((f"{name[:8]} {wordy} {told}", picture) for told, picture in crowded(name, wordy))


@cache
def sheets() -> tuple[tuple[str, Sheet], ...]:
    return tuple((name, laid_out(picture)) for name, picture in some_pictures())
