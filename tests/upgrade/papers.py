"""Catalogues as plain documents that a test changes in one place, and what comes of a machine there."""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

import yaml

from service.domain.catalogue.compiled import compile_catalogue
from service.domain.facts.case import Pairing
from service.domain.terms import CapabilityId, RoleId, Who
from service.domain.upgrade.offers import Offers, StockBoard, hands_up_to
from service.domain.upgrade.standing import standings
from service.domain.upgrade.upgrading import Found, found_for
from service.papers import read_catalogue
from tests.upgrade.asked import TRADE_PRACTICE, offers, unit

Paper = dict[str, Any]
Stock = Mapping[RoleId, tuple[StockBoard, ...]]
Pairs = Mapping[Any, Pairing]


def trade_practice() -> Paper:
    """The trade's own facts, where no machine becomes one of another model."""
    paper: Paper = yaml.safe_load(TRADE_PRACTICE.read_text(encoding="utf-8"))
    return paper


def with_conversion() -> Paper:
    """The same of a maker that issues serials to make a Medium a Large. The Large sits on a bigger holder,
    and software can be loaded in the workshop."""
    paper = trade_practice()
    paper["roles"]["holder"] = {"name": "battery holder"}
    for model in ("large", "large-app"):
        paper["models"][model]["roles"]["holder"] = {}
    fits = [{"models": ["large", "large-app"]}]
    holder = {"number": "HOLDER-1", "name": "battery holder", "role": "holder", "fits": fits}
    paper["parts"].append({**holder, "price": "25.00"})
    load = {"step": "load", "who": "dealer", "minutes": [5, 15], "tool": True}
    paper["families"]["big-range"]["procedures"].insert(3, load)
    paper["upgrades"]["conversions"] = [
        {"from": "medium", "to": "large", "policy": "maker_issues_serial", "price": "180.00", "lead_days": 14}
    ]
    return paper


def part(paper: Paper, number: str) -> Paper:
    """One part of a paper, to be changed."""
    return next(each for each in paper["parts"] if each["number"] == number)


def found(
    paper: Paper,
    model: str,
    wanted: Mapping[str, int],
    *,
    stock: Stock | None = None,
    pairs: Pairs | None = None,
    new_parts: bool = True,
    done_by: Who = Who.MAKER,
) -> Found:
    """What comes of it for a machine of a model as the factory made it."""
    compiled = compile_catalogue(read_catalogue(json.dumps(paper)))
    market = next(iter(paper["models"][model].get("markets", paper["markets"])))
    (standing,) = standings(unit(compiled, model, market))
    offered = Offers(
        terms=offers(compiled, market).terms,
        stock=stock or {},
        pairs=pairs or {},
        workers=hands_up_to(done_by),
        new_parts=new_parts,
    )
    return found_for(standing, {CapabilityId(name): many for name, many in wanted.items()}, offered)


def changed(paper: Paper) -> Paper:
    """A copy to change."""
    return deepcopy(paper)
