"""What is worked out of a scheme's fields once, so that reading a serial is quick."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from service.domain.serials.check import CheckSystem
from service.domain.serials.fields import Field, FieldKind, Values

_LOOKALIKES = (("O", "0"), ("I", "1"), ("0", "O"), ("1", "I"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A scheme at one length."""

    spans: tuple[range, ...]
    """The positions of each field, counted from 0."""
    positions: tuple[frozenset[str], ...]
    """The characters that can stand at each position."""
    fixed: frozenset[int]
    """The positions of fixed texts."""
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

    def field_at(self, position: int) -> int:
        """The place, in the list of fields, of the field that has this position."""
        return next(place for place, span in enumerate(self.spans) if position in span)


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPlan:
    """Where one check stands and what it runs over, as positions in the list of fields."""

    at: int
    over: tuple[int, ...]
    system: CheckSystem


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """A scheme's layouts by length, and its checks in the order in which they are made."""

    places: Mapping[str, int]
    """Field name to its place in the list of fields."""
    layouts: Mapping[int, Layout]
    """Length in characters to the layout of serials of that length."""
    checks: tuple[CheckPlan, ...]
    readers: tuple[tuple[str, Callable[[str], Values | None]], ...]
    """Each field's name, and from its text to its values."""
    dated_by: tuple[FieldKind, ...]
    """The kinds of the fields that say when it was made."""


def compiled(fields: Sequence[Field], made: Sequence[str], *, lookalikes: bool) -> Compiled:
    """Work out layouts and checks.

    INVARIANT: at most one field has a variable length, so a length fixes the place of every field.
    """
    places = {field.name: place for place, field in enumerate(fields)}
    slack = max((field.most - field.least for field in fields), default=0)
    layouts = [_layout(fields, extra, lookalikes=lookalikes) for extra in range(slack + 1)]
    return Compiled(
        places=places,
        layouts={len(layout.positions): layout for layout in layouts},
        checks=tuple(_checks(fields, places)),
        readers=tuple((field.name, field.reader()) for field in fields),
        dated_by=tuple(fields[places[name]].kind for name in made),
    )


def _layout(fields: Sequence[Field], extra: int, *, lookalikes: bool) -> Layout:
    lengths = [field.least + (extra if field.most > field.least else 0) for field in fields]
    columns = [field.positions(length) for field, length in zip(fields, lengths, strict=True)]
    positions = tuple(position for column in columns for position in column)
    ends = list(accumulate(lengths))
    spans = tuple(range(end - length, end) for end, length in zip(ends, lengths, strict=True))
    texts = [span for field, span in zip(fields, spans, strict=True) if field.kind is FieldKind.TEXT]
    return Layout(
        spans=spans,
        positions=positions,
        fixed=frozenset(place for span in texts for place in span),
        pattern=re.compile("".join(map(_group, columns))),
        folds=tuple(map(_fold, positions)) if lookalikes else ({},) * len(positions),
    )


def _group(column: Sequence[frozenset[str]]) -> str:
    classes = ("[" + "".join(map(re.escape, sorted(allowed))) + "]" for allowed in column)
    return "(" + "".join(classes) + ")"


def _fold(allowed: frozenset[str]) -> Mapping[str, str]:
    return {seen: meant for seen, meant in _LOOKALIKES if seen not in allowed and meant in allowed}


def _checks(fields: Sequence[Field], places: Mapping[str, int]) -> Iterator[CheckPlan]:
    for at, field in enumerate(fields):
        if field.check is not None:
            over = tuple(places[name] for name in field.check.over)
            yield CheckPlan(at=at, over=over, system=field.check.system)
