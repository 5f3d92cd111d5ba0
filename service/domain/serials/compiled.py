"""What is worked out of a scheme's fields once, so that reading a serial is quick."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.domain.serials.check import CheckSystem
from service.domain.serials.fields import Field, FieldKind

_LOOKALIKES = (("O", "0"), ("I", "1"), ("0", "O"), ("1", "I"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A scheme at one length."""

    spans: tuple[tuple[int, int], ...]
    """Start and end of each field, in characters from 0, end exclusive."""
    positions: tuple[frozenset[str], ...]
    """The characters that can stand at each position."""
    fixed: tuple[bool, ...]
    """Whether the position belongs to a fixed text."""
    pattern: re.Pattern[str]
    """One group for each field."""
    folds: tuple[Mapping[str, str], ...]
    """At each position, the look-alikes that can only be the other character."""

    def folded(self, text: str) -> str:
        """The text with look-alikes read as the characters that can stand in their places."""
        pairs = zip(text, self.folds, strict=True)
        return "".join(fold.get(character, character) for character, fold in pairs)

    def unfit(self, text: str) -> tuple[int, ...]:
        """Positions, from 0, at which a character stands that cannot stand there."""
        pairs = zip(text, self.positions, strict=True)
        return tuple(place for place, (character, allowed) in enumerate(pairs) if character not in allowed)


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPlan:
    """Where one check stands and what it runs over, as positions in the list of fields."""

    at: int
    over: tuple[int, ...]
    system: CheckSystem


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """A scheme's layouts by length, and its checks in the order in which they are made."""

    layouts: Mapping[int, Layout]
    checks: tuple[CheckPlan, ...]


def compiled(fields: Sequence[Field], *, lookalikes: bool) -> Compiled:
    """Work out layouts and checks.

    INVARIANT: at most one field has a variable length, so a length fixes the place of every field.
    """
    slack = max((field.most - field.least for field in fields), default=0)
    layouts = (_layout(fields, extra, lookalikes=lookalikes) for extra in range(slack + 1))
    return Compiled(layouts={len(each.positions): each for each in layouts}, checks=_checks(fields))


def _layout(fields: Sequence[Field], extra: int, *, lookalikes: bool) -> Layout:
    lengths = [field.least + (extra if field.most > field.least else 0) for field in fields]
    ends = [sum(lengths[: place + 1]) for place in range(len(lengths))]
    columns = [field.positions(length) for field, length in zip(fields, lengths, strict=True)]
    positions = tuple(position for column in columns for position in column)
    return Layout(
        spans=tuple((end - length, end) for end, length in zip(ends, lengths, strict=True)),
        positions=positions,
        fixed=tuple(field.kind is FieldKind.TEXT for field, column in zip(fields, columns, strict=True) for _ in column),
        pattern=re.compile("".join(map(_group, columns))),
        folds=tuple(map(_fold, positions)) if lookalikes else ({},) * len(positions),
    )


def _group(column: Sequence[frozenset[str]]) -> str:
    classes = ("[" + "".join(map(re.escape, sorted(allowed))) + "]" for allowed in column)
    return "(" + "".join(classes) + ")"


def _fold(allowed: frozenset[str]) -> Mapping[str, str]:
    return {seen: meant for seen, meant in _LOOKALIKES if seen not in allowed and meant in allowed}


def _checks(fields: Sequence[Field]) -> tuple[CheckPlan, ...]:
    places = {field.name: place for place, field in enumerate(fields)}
    return tuple(
        CheckPlan(at=places[field.name], over=tuple(places[name] for name in field.check.over), system=field.check.system)
        for field in fields
        if field.check is not None
    )
