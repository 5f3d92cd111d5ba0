"""The rules of fit, each a small pure function of a hub and a board whose facts are all known.

| rule | function | looks at |
| --- | --- | --- |
| 1 identity | `domain.facts.identity` (witnesses, before any world is made) | the unit |
| 2 covered | `verdict` in this module | the unit |
| 3 has the role | `listed.has_role` | proposed boards |
| 4 listed | `listed.is_listed` | proposed boards |
| 5 not bound to another model | `binding.is_not_bound_to_another` | proposed boards |
| 6 the boards agree | `binding.agrees_with_unit`, `binding.among_themselves` | boards that stay; the set |
| 7 assignable | `assigning.can_be_assigned` | the resulting set |
| 7 nothing required missing | `required.has_required_features`, `required.empty_roles` | the resulting set |
| 8 one serial, one machine | `serial.holds_no_serial_in_service` | proposed boards |
| 9 usable | `usable.is_usable` | proposed boards |
| 10 software goes together | `releases`, asked by `domain.fit.joined` | the resulting set |

Unknowns are none of their business: `domain.fit.worlds` makes the worlds and calls `verdict` in each.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.rules.assigning import can_be_assigned, needs
from service.domain.rules.binding import agrees_with_unit, is_not_bound_to_another
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding
from service.domain.rules.listed import has_role, is_listed
from service.domain.rules.required import has_required_features
from service.domain.rules.serial import holds_no_serial_in_service
from service.domain.rules.usable import is_usable
from service.domain.terms import BindingPolicy, StepKind

RuleOfFit = Callable[[Hub, Board], Finding | None]

FOR_PROPOSED: Sequence[RuleOfFit] = (
    has_role,
    is_listed,
    is_not_bound_to_another,
    can_be_assigned,
    has_required_features,
    holds_no_serial_in_service,
    is_usable,
)
"""In the order of their numbers: the first failing one of a world decides."""

FOR_STAYING: Sequence[RuleOfFit] = (agrees_with_unit, can_be_assigned, has_required_features)

ALONE: Sequence[RuleOfFit] = (is_not_bound_to_another, is_usable)
"""What a board fails by itself, whatever the machine: this wins over an uncovered model."""

OUT_OF_SCOPE = 11
"""The rank of a world whose model is not covered: after a failing rule, before any fit."""
FITS_WITH_TOOL = 12
FITS = 13
"""Ranks of a board that fits, with and without the programming tool. A world's rank is the least of
its boards' ranks, and a failing rule's rank is its number."""


class Verdict(NamedTuple):
    """What the rules say of one board in one world."""

    rank: int
    findings: tuple[Finding, ...]
    needs: tuple[StepKind, ...]


def _rules_for(hub: Hub, board: Board) -> Sequence[RuleOfFit]:
    if not hub.covered:
        return ALONE if board.proposed else ()
    return FOR_PROPOSED if board.proposed else FOR_STAYING


def verdict(hub: Hub, board: Board) -> Verdict:
    """All rules on one board in one world. Rule 2: where the model is not covered only `ALONE` speaks."""
    found = [f for rule in _rules_for(hub, board) if (f := rule(hub, board)) is not None]
    if found:
        return Verdict(found[0].rule, tuple(found), ())
    if not hub.covered:
        return Verdict(OUT_OF_SCOPE, (), ())
    wanted = needs(hub, board)
    tool = takes_tool(hub, board) or not hub.tool_steps.isdisjoint(wanted)
    return Verdict(FITS_WITH_TOOL if tool else FITS, (), wanted)


def takes_tool(hub: Hub, board: Board) -> bool:
    """Whether a swap of this board takes the programming tool whatever the board needs."""
    if not board.comes:
        return False
    binds = hub.parts[board.part].binding is not BindingPolicy.FREE
    return hub.renewal_takes_tool if binds else hub.swap_takes_tool
