"""The choice behind an upgrade, as plain values: one option a block, at the least burden.

A block is what is chosen together: a role with its places, or roles that releases join. Blocks meet only in
what they share: burdens that are paid once however many need them (a session with the programming tool),
wants that several of them can meet, and stock that several of them would take.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

NOTHING: Mapping[str, int] = {}


class Burden(NamedTuple):
    """What a choice costs. The order of the members is the order in which choices are compared."""

    money: Fraction = Fraction(0)
    """Exact, in the units of the currency; never negative."""
    lasting: int = 0
    """Steps that can't be undone."""
    minutes: int = 0

    def plus(self, other: Burden) -> Burden:
        """Both together."""
        return Burden(self.money + other.money, self.lasting + other.lasting, self.minutes + other.minutes)


FREE = Burden()


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to fill a block."""

    name: str
    """Tells it from the block's other options, and settles what is equal otherwise."""
    burden: Burden = FREE
    gives: frozenset[str] = frozenset()
    """The needs that it meets."""
    calls: frozenset[str] = frozenset()
    """The shared burdens that it makes fall due."""
    takes: Mapping[str, int] = field(default_factory=lambda: NOTHING)
    """What it takes of things of which there are only so many."""


Way = frozenset[str]
"""Needs that together are enough for a want."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is to be chosen."""

    blocks: tuple[tuple[Option, ...], ...]
    """A block without options can't be filled, so nothing can."""
    shared: Mapping[str, Burden] = field(default_factory=dict)
    """Burdens that are paid once if any chosen option calls them."""
    wants: tuple[tuple[Way, ...], ...] = ()
    """Each is met by any one of its ways; a want without ways is never met."""
    stock: Mapping[str, int] = field(default_factory=dict)
    """How many there are of what is limited."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The best choice."""

    options: tuple[Option, ...]
    """One a block, in the order of the blocks."""
    burden: Burden
    """Of the options and of what they call, each once."""


class BoundExceeded(Exception):
    """There are more different part-choices than are gone through."""
