"""Where there is no plan, the facts told rule it out, and no fewer of them do: tried in the catalogue itself.

For each set of facts told, every other fact is let off by changing the catalogue's document: all else is
allowed, sold, on the market and can be converted. Then there is still no plan; and with any one fact of the
set let off too, there is one.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from copy import deepcopy

import pytest

from service.domain.catalogue.compiled import compile_catalogue
from service.domain.terms import CapabilityId
from service.domain.upgrade.upgrading import Found, UpgradeOutcome, found_for
from service.domain.upgrade.why_not import Obstacle
from service.papers import read_catalogue
from tests.oracles.upgrade_documents import (
    BINDS,
    FEATURE,
    MODELS,
    Document,
    Plain,
    Start,
    document,
    starts,
    stock,
    wants,
)
from tests.upgrade.test_against_every_start import offers, standing

Told = frozenset[Obstacle]
PERMISSION = {"not_allowed_for_model", "planned", "not_in_market"}
STAYS = {"never_another_model", "no_further_model"}
BOARDS = {"nothing_fits_there", "not_together"}


def asked(paper: Document, shelf: list[Plain], machine: Start, wanted: dict[str, int]) -> Found:
    compiled = compile_catalogue(read_catalogue(json.dumps(paper)))
    needs = {CapabilityId(name): many for name, many in wanted.items()}
    return found_for(standing(compiled, machine), needs, offers(compiled, shelf))


def let_off(paper: Document, but: Told) -> Document:
    """The catalogue with nothing in the way but these facts."""
    paper = deepcopy(paper)
    codes = {each.code for each in but}
    if not codes & STAYS:
        conversion = {"from": "m1", "policy": "maker_issues_serial", "price": "0.00"}
        others = [model for model in paper["models"] if model != "m1"]
        paper["upgrades"]["conversions"] = [{**conversion, "to": model} for model in others]
    if "no_accessory" not in codes:
        paper["upgrades"]["accessories"] = {"pack": {"number": "PACK", "price": "1.00"}}
    for model in paper["models"]:
        _allow(paper, model, but)
        if not any(each.code in BOARDS and dict(each.facts)["unit_model"] == model for each in but):
            _sell(paper, model, but)
    return paper


def _allow(paper: Document, model: str, but: Told) -> None:
    closed = {
        dict(each.facts)["capability"]
        for each in but
        if each.code in PERMISSION and dict(each.facts)["unit_model"] == model
    }
    for name, told in paper["capabilities"].items():
        if name not in closed:
            paper["models"][model]["allows"][name] = {"amount": 2 if told["kind"] == "count" else 1}


def _sell(paper: Document, model: str, but: Told) -> None:
    """For each role of the model a board that has all that is not told to be missing."""
    missing = {
        (each.code, dict(each.facts)["what"])
        for each in but
        if each.code in {"no_hardware", "no_release"} and dict(each.facts)["unit_model"] == model
    }
    for role in paper["models"][model]["roles"]:
        wonder = {"number": f"WONDER-{role}-{model}", "name": role, "role": role, "binding": BINDS[role]}
        if ("no_hardware", role) not in missing:
            wonder["features"] = dict.fromkeys(paper["features"], 9)
        if BINDS[role] != "free":
            wonder["release"] = "1.0" if ("no_release", role) in missing else "2.0"
        paper["parts"].append({**wonder, "fits": [{"models": [model]}], "price": "1.00"})


Asked = tuple[Document, list[dict[str, int]]]


def as_it_is(paper: Document) -> Asked:
    return paper, wants(paper)


def with_a_third_model(paper: Document) -> Asked:
    """It is as the bigger one is, and nothing is ever made one: where the catalogue names a conversion, it
    is to the bigger one alone."""
    paper["models"]["m3"] = {**deepcopy(paper["models"]["m2"]), "name": "Third"}
    for part in paper["parts"]:
        for row in part["fits"]:
            row["models"] += ["m3"] if "m2" in row["models"] else []
    return as_it_is(paper)


def with_rival_boards(paper: Document) -> Asked:
    """What a board of the last role can do, and what it could do besides, is on two boards for one place."""
    role = list(paper["roles"])[-1]
    paper["features"]["glow"] = "glow"
    hardware = [{"role": role, "feature": "glow"}]
    paper["capabilities"]["use_glow"] = {"name": "use_glow", "kind": "switch", "hardware": hardware}
    rival = {"number": f"{role.upper()}-GLOW", "name": role, "role": role, "binding": BINDS[role]}
    paper["parts"].append(
        {**rival, "features": {"glow": 1}, "fits": [{"models": list(MODELS)}], "price": "9.00"}
    )
    for model in MODELS:
        paper["models"][model]["allows"]["use_glow"] = {"amount": 1}
    return paper, [*wants(paper), {f"use_{FEATURE[role]}": 1, "use_glow": 1}]


RICHER = (as_it_is, with_a_third_model, with_rival_boards)


def hopeless(seed: int, count: int) -> Iterator[tuple[Document, list[Plain], Start, dict[str, int], Told]]:
    """Every question of one catalogue that has no plan, with the facts told."""
    plain = document(seed)
    shelf, machines = stock(plain, seed), list(starts(plain, seed, count))
    paper, wished = RICHER[seed % len(RICHER)](deepcopy(plain))
    for wanted in wished:
        for machine in machines:
            found = asked(paper, shelf, machine, wanted)
            if found.outcome is UpgradeOutcome.NOT_POSSIBLE:
                yield paper, shelf, machine, wanted, frozenset(found.obstacles)


def holds(seed: int, count: int) -> Counter[str]:
    met: Counter[str] = Counter()
    for paper, shelf, machine, wanted, told in hopeless(seed, count):
        say = f"seed {seed}, {wanted}, {machine}, {sorted(told)}"
        assert told, say
        closed = asked(let_off(paper, told), shelf, machine, wanted)
        assert closed.outcome is UpgradeOutcome.NOT_POSSIBLE, f"they do not rule it out: {say}"
        for each in told:
            opened = asked(let_off(paper, told - {each}), shelf, machine, wanted)
            assert opened.plans or opened.outcome is UpgradeOutcome.ALREADY, f"{each} is idle: {say}"
        met.update(each.code for each in told)
    return met


def test_the_facts_told_rule_it_out_and_no_fewer_do() -> None:
    met = sum((holds(seed, 1) for seed in range(200, 208)), Counter[str]())
    assert met.total() > 20


@pytest.mark.deep
def test_the_facts_told_rule_it_out_and_no_fewer_do_at_length() -> None:
    met = sum((holds(seed, 2) for seed in range(210, 300)), Counter[str]())
    assert {*met} >= {
        "not_allowed_for_model",
        "not_in_market",
        *STAYS,
        "no_hardware",
        "no_accessory",
        *BOARDS,
    }
