"""One fact about a board or a unit: what it may be, how it is known, and what spoke against it."""

from __future__ import annotations

from typing import NamedTuple

from service.domain.terms import Basis


class Known(NamedTuple):
    """What is known of one fact.

    `values` are the values it may have; None is the whole domain of that fact ("nothing is known").
    """

    values: frozenset[str] | None = None
    basis: Basis | None = None
    """The strongest basis that narrowed it; None where nothing did."""
    without: frozenset[str] = frozenset()
    """Values that are ruled out of the whole domain ("used" is not blank)."""
    contradiction: bool = False
    """`values` are exactly the values that contradict each other."""
    contradicted: Basis | None = None
    """A weaker witness said something else and was overruled: its basis."""

    @property
    def certain(self) -> bool:
        """Whether exactly one value is left."""
        return self.values is not None and len(self.values) == 1 and not self.contradiction


NOTHING_KNOWN = Known()


def is_stronger(one: Basis | None, other: Basis | None) -> bool:
    """Whether one basis beats another; what nothing narrowed has none and beats nothing."""
    order = [*Basis, None]
    return order.index(one) < order.index(other)


def stronger_wins(*witnesses: Known) -> Known:
    """Combine witnesses, strongest first: the strongest that knows anything decides, a weaker one may
    narrow what it leaves open, and is overruled where the two exclude each other."""
    found = NOTHING_KNOWN
    for witness in witnesses:
        if witness is not NOTHING_KNOWN:
            found = witness if found is NOTHING_KNOWN else _narrowed(found, witness)
    return found


def _narrowed(strong: Known, weak: Known) -> Known:
    if weak.values is None:
        return strong._replace(without=strong.without | weak.without)
    if strong.values is None:
        return weak._replace(values=weak.values - strong.without or weak.values)
    both = strong.values & weak.values
    if not both:
        return strong._replace(contradicted=weak.basis)
    if both == strong.values or strong.contradiction:
        return strong
    return strong._replace(values=both, basis=weak.basis)
