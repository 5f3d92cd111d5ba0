"""Accessories of a plan: what is fitted, and the options of fitting more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from service.domain.catalogue.model import Catalogue
from service.domain.catalogue.upgrades import AccessoryOffer
from service.domain.steps.plan import Step
from service.domain.terms import StepKind
from service.domain.upgrade.aim import Aim


class Fitting(NamedTuple):
    """One way with an accessory: so many in all, of which some are bought."""

    accessory: str
    total: int
    more: int
    price: Fraction
    gives: frozenset[str]
    """The needs that are met then."""
    steps: tuple[Step, ...]


def accessories_of(aim: Aim) -> list[str]:
    """Those that anything wanted needs."""
    return sorted({need.what for need in aim.needs if need.kind == "accessory"})


def fittings(aim: Aim, accessory: str, *, allowed: bool) -> Iterator[Fitting]:
    """As it is, or as many more as are wanted; each want says how many it needs."""
    there = fitted_now(aim.hub.compiled.catalogue, aim.standing.accessories, accessory)
    needs = [need for need in aim.needs if need.kind == "accessory" and need.what == accessory]
    offer = _offer(aim, accessory)
    for total in sorted({there, *(need.amount for need in needs if need.amount > there)}):
        more = total - there
        if more and (offer is None or not allowed):
            continue
        yield Fitting(
            accessory=accessory,
            total=total,
            more=more,
            price=Fraction(offer.price) * more if offer else Fraction(0),
            gives=frozenset(need.name for need in needs if need.amount <= total),
            steps=_steps(aim, more),
        )


def fitted_now(catalogue: Catalogue, known: Mapping[str, int], accessory: str) -> int:
    """How many of an accessory are fitted. Where nobody wrote it down, one of what is counted: a machine
    does not run without a battery pack."""
    counted = any(each.is_count and each.accessory == accessory for each in catalogue.capabilities.values())
    return known.get(accessory, 1 if counted else 0)


def _offer(aim: Aim, accessory: str) -> AccessoryOffer | None:
    upgrades = aim.hub.compiled.catalogue.upgrades
    return upgrades.accessories.get(accessory) if upgrades else None


def _steps(aim: Aim, count: int) -> tuple[Step, ...]:
    procedure = aim.hub.procedures.get(StepKind.FIT_ACCESSORY)
    if procedure is None:
        return ()
    step = Step(kind=StepKind.FIT_ACCESSORY, place=None, old=False, procedure=procedure, undoable=True)
    return (step,) * count
