"""Why there is no plan: a smallest set of facts that together rule it out.

Every way to what is wanted leads through one model: the unit's own, or one that it could be made. A way is
closed by any one of its obstacles, so a set of facts rules all ways out when it has an obstacle of each. Of
such sets a smallest one is told; take any fact of it away, and the way that it alone closed is open.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from service.domain.catalogue.hub import Hub
from service.domain.terms import Who
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import Allowed
from service.domain.upgrade.choosing import cheapest
from service.domain.upgrade.framing import frame
from service.domain.upgrade.offers import Offers, hands_up_to
from service.domain.upgrade.options import Options
from service.domain.upgrade.standing import Standing
from service.domain.upgrade.trading import newest
from service.domain.upgrade.wanted import Wanted, permission


@dataclass(frozen=True, slots=True, order=True)
class Obstacle:
    """One fact that closes a way."""

    code: str
    facts: tuple[tuple[str, str], ...] = ()


def obstacles(standing: Standing, wanted: Wanted, offers: Offers) -> tuple[Obstacle, ...]:
    """A smallest set of facts that rules out every plan; the first of them in order, always."""
    ways = [frozenset(way) for way in _ways(standing, wanted, offers)]
    every = sorted(frozenset[Obstacle]().union(*ways), key=_plainest_first)
    for size in range(1, len(ways) + 1):
        for chosen in combinations(every, size):
            if all(way.intersection(chosen) for way in ways):
                return chosen
    return ()


def _ways(standing: Standing, wanted: Wanted, offers: Offers) -> Iterator[set[Obstacle]]:
    """The obstacles of each way."""
    own = standing.hub
    yield set(_on_the_way(Aim(standing=standing, hub=own, wanted=wanted, offers=offers)))
    upgrades = own.compiled.catalogue.upgrades
    for model in own.compiled.models:
        target = newest(own, model) if model != own.model.id else None
        if target is None:
            continue
        closed = set(_on_the_way(Aim(standing=standing, hub=target, wanted=wanted, offers=offers)))
        if upgrades is None or upgrades.conversion(own.model.id, model) is None:
            closed.add(_stays(own))
        yield closed


def _stays(own: Hub) -> Obstacle:
    """A machine can be made no other model, or none but those that the catalogue names."""
    upgrades = own.compiled.catalogue.upgrades
    some = upgrades is not None and any(each.source == own.model.id for each in upgrades.conversions)
    return Obstacle("no_further_model" if some else "never_another_model", (("unit_model", own.model.id),))


def _on_the_way(aim: Aim) -> Iterator[Obstacle]:
    for name, amount in aim.wanted.items():
        code = permission(aim.hub, name, amount)
        if code:
            yield Obstacle(code, (("capability", name), ("unit_model", aim.hub.model.id)))
    yield from _of_boards(aim)


def _of_boards(aim: Aim) -> Iterator[Obstacle]:
    """What no board, release or accessory that can be had brings, and places that nothing can fill, whoever
    works; and else who would have to work."""
    others = list(_of_any_work(replace(aim, offers=replace(aim.offers, workers=frozenset(Who)))))
    yield from others
    if not others and aim.offers.workers < frozenset(Who):
        yield from _of_workers(aim)


def _of_workers(aim: Aim) -> Iterator[Obstacle]:
    """The least of those who would have to work besides those who may."""
    for least in Who:
        workers = frozenset(hands_up_to(least)) | aim.offers.workers
        task = frame(
            Options(replace(aim, offers=replace(aim.offers, workers=workers))), Allowed(), session=True
        ).task
        if cheapest(task) is not None:
            if workers != aim.offers.workers:
                # One fact, whichever model the machine would be.
                yield Obstacle(f"{least}_works")
            return


def _of_any_work(aim: Aim) -> Iterator[Obstacle]:
    model = aim.hub.model.id
    task = frame(Options(aim), Allowed(), session=True).task
    fills = all(task.blocks)
    if not fills:
        yield Obstacle("nothing_fits_there", (("unit_model", model),))
    given = {need for block in task.blocks for option in block for need in option.gives}
    missing = sorted((need for need in aim.needs if need.name not in given), key=lambda need: need.name)
    for need in missing:
        if need.kind == "accessory":
            # That it is not sold is one fact, whichever model would need it, and for what.
            yield Obstacle("no_accessory", (("what", need.what),))
        elif fills:
            facts = (("capability", str(need.capability)), ("what", need.what), ("unit_model", str(model)))
            yield Obstacle(f"no_{need.kind}", facts)
    if fills and not missing and cheapest(task) is None:
        yield Obstacle("not_together", (("unit_model", model),))


def _plainest_first(obstacle: Obstacle) -> tuple[int, Obstacle]:
    """Who may not work is the caller's own word; then what the model may do is the plainest to tell, then
    that it stays what it is."""
    order = (
        "dealer_works", "maker_works",
        "not_allowed_for_model", "planned", "not_in_market", "never_another_model", "no_further_model"
    )  # fmt: skip
    return order.index(obstacle.code) if obstacle.code in order else len(order), obstacle
