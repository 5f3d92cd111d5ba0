"""Tables from the fields of a serial to what it can be: models of a unit, parts of a board."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from service.domain.serials.fields import Value, Values

Target = TypeVar("Target", bound=str)


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What a row wants of one field: one of `values`, or a value within bounds."""

    field: str
    values: Values = frozenset()
    first: Value | None = None
    last: Value | None = None
    """Both inclusive; None is unbounded. Only looked at where `values` is empty."""

    def may_meet(self, values: Values) -> bool:
        """Whether any value that the field may have is a wanted one."""
        return not self.values.isdisjoint(values) if self.values else any(map(self._within, values))

    def _within(self, value: Value) -> bool:
        # INVARIANT: bounds and values of one field are of one kind, numbers or texts of one length.
        above = self.first is None or self.first <= value  # type: ignore[operator]  # one kind, as said
        return above and (self.last is None or value <= self.last)  # type: ignore[operator]  # one kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Row(Generic[Target]):
    """Serials that meet all conditions can be each of these targets."""

    when: tuple[Condition, ...]
    targets: frozenset[Target]

    def may_match(self, values: Mapping[str, Values]) -> bool:
        """Whether a serial whose fields have these possible values may meet all conditions."""
        for condition in self.when:  # noqa: SIM110 - a generator costs as much as the conditions
            if not condition.may_meet(values[condition.field]):
                return False
        return True


@dataclass(frozen=True, slots=True)
class Table(Generic[Target]):
    """Rows, found quickly by the values of a field that all of them name."""

    rows: tuple[Row[Target], ...] = ()
    _key: str = field(init=False, repr=False, compare=False)
    _by_value: Mapping[Value, Sequence[Row[Target]]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        key = _common_key(self.rows)
        object.__setattr__(self, "_key", key)
        object.__setattr__(self, "_by_value", _indexed(self.rows, key))

    def targets(self, values: Mapping[str, Values]) -> frozenset[Target]:
        """All that a serial with these possible values can be; empty where no row says."""
        if not self.rows:
            return frozenset()
        rows = [row for row in self._near(values) if row.may_match(values)]
        return rows[0].targets if len(rows) == 1 else frozenset().union(*(row.targets for row in rows))

    def _near(self, values: Mapping[str, Values]) -> Iterable[Row[Target]]:
        """All rows that may match, and perhaps others."""
        if not self._key:
            return self.rows
        return [row for value in values[self._key] for row in self._by_value.get(value, ())]


def _common_key(rows: Sequence[Row[Target]]) -> str:
    """A field of which every row lists values, the first by name; empty where there is none."""
    listed = [{condition.field for condition in row.when if condition.values} for row in rows]
    return min(set.intersection(*listed), default="") if listed else ""


def _indexed(rows: Sequence[Row[Target]], key: str) -> Mapping[Value, Sequence[Row[Target]]]:
    index: dict[Value, list[Row[Target]]] = {}
    for row in rows:
        for condition in row.when:
            if condition.field == key:
                for value in condition.values:
                    index.setdefault(value, []).append(row)
    return index
