"""`check`: one question, answered in the terminal without a server."""

from __future__ import annotations

import argparse

from marshmallow import ValidationError

from service.api.asking import flat_question
from service.api.batch import catalogue_of
from service.api.edge.arguments import walk
from service.api.present.wording import wording
from service.api.problems.impossible import impossible
from service.api.schemas.question import FitQuery
from service.cli.databases import opened
from service.cli.demo_database import of_demo
from service.cli.errors import UsageError
from service.domain.facts.question import ImpossibleQuestion, Question
from service.settings import Settings
from service.usecases import fit
from service.usecases.caller import STAFF
from service.usecases.shop import NoCatalogue, Shop
from service.wiring import open_shop
from service.words.language import LANGUAGES, SOURCE


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options: those of GET /v1/fit."""
    parser.description = "Answer one question of fit, without a server."
    for name, field in FitQuery().fields.items():
        told = field.metadata["description"].replace("`part`, or `role`", "--part, or --role")
        parser.add_argument(f"--{name.replace('_', '-')}", dest=name, metavar=name.upper(), help=told)
    parser.add_argument(
        "--demo", action="store_true", help="ask the demo's database instead of the shop's own"
    )
    parser.add_argument(
        "--language", choices=LANGUAGES, default=SOURCE, help="the language of the answer (default: en)"
    )
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Print the answer in plain words."""
    sent = {name: value for name in FitQuery().fields if (value := getattr(given, name)) is not None}
    asked = _question(sent)
    if given.demo:
        settings = of_demo(settings)
    with opened(settings, must_exist=True) as engine:
        print(_answer(open_shop(engine, settings, serving=False), asked, given.language), end="")
    return 0


def _question(sent: dict[str, str]) -> Question:
    try:
        return flat_question(FitQuery().load(sent))
    except ValidationError as error:
        faults = [f"--{path[0]} {detail}" for path, detail in walk(error.messages)]
        raise UsageError("; ".join(faults).replace("--_", "--")) from None


def _answer(shop: Shop, asked: Question, language: str) -> str:
    try:
        compiled = shop.catalogue()
    except NoCatalogue:
        raise UsageError(
            "no catalogue is published: use 'catalogue publish FILE', or ask the demo's with --demo"
        ) from None
    try:
        catalogue = catalogue_of(shop, asked).catalogue
        return wording(catalogue, language).whole(fit.check(shop, STAFF, asked))
    except ImpossibleQuestion as fault:
        raise UsageError(impossible(fault, compiled, flat=True).detail) from None
