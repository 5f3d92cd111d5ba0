"""Whether two schemes claim the same serials."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache, partial
from itertools import repeat

from service.domain.serials.compiled import Layout
from service.domain.serials.decoded import Decoded
from service.domain.serials.fields import Field, FieldKind
from service.domain.serials.reading import read
from service.domain.serials.scheme import Scheme
from service.domain.terms import Serial

TRIED = 10_000
"""How many texts that have both layouts are tried before the search gives up."""

State = str | None
"""What has been written of a field, as far as it matters; None where it can no longer become one."""

Step = Callable[[str, str], State]
"""State and next character to the state after it."""

_BEGIN = ""
_FREE = "-"
"""The state in which the rest of the field can be anything; no serial has this character."""


def overlap(one: Scheme, other: Scheme) -> Serial | None:
    """A serial that both schemes read, or None where there is none.

    Exact for the layouts: every text that both layouts allow, value by value, is walked in the
    order of the characters. Check characters (and weeks that a year does not have) are then tried
    text by text, up to `TRIED` texts of a length. If none of those is read by both, the first of
    them is the answer: such schemes are told apart by their check characters at best, and one
    misread character would move a serial from one to the other. Look-alikes are not taken for one
    another here. Schemes of different subjects never overlap, since a reader says which it reads.
    """
    if one.subject is not other.subject:
        return None
    lengths = sorted(one.compiled.layouts.keys() & other.compiled.layouts.keys())
    return next((found for length in lengths if (found := _shared(one, other, length)) is not None), None)


def _shared(one: Scheme, other: Scheme, length: int) -> Serial | None:
    first = next(_common_texts(one, other, length), None)
    for tried, text in enumerate(_common_texts(one, other, length)):
        if tried == TRIED:
            return first
        if isinstance(read(one, text), Decoded) and isinstance(read(other, text), Decoded):
            return text
    return None


def _common_texts(one: Scheme, other: Scheme, length: int) -> Iterator[Serial]:
    """All texts of that length that both layouts allow, in the order of their characters."""
    layouts = one.compiled.layouts[length], other.compiled.layouts[length]
    steps = list(zip(_steps(one, layouts[0]), _steps(other, layouts[1]), strict=True))
    shared = [sorted(each & its) for each, its in zip(*(layout.positions for layout in layouts), strict=True)]

    @cache
    def onward(place: int, first: str, second: str) -> tuple[tuple[str, str, str], ...]:
        """The characters that can stand next and let both reach the end, with the states after them."""
        step, its = steps[place]
        reached = ((character, step(first, character), its(second, character)) for character in shared[place])
        return tuple(
            (character, state, its_state)
            for character, state, its_state in reached
            if state is not None and its_state is not None
            if place + 1 == length or onward(place + 1, state, its_state)
        )

    def walk(text: str, first: str, second: str) -> Iterator[Serial]:
        if len(text) == length:
            yield Serial(text)
            return
        for character, state, its_state in onward(len(text), first, second):
            yield from walk(text + character, state, its_state)

    return walk("", _BEGIN, _BEGIN)


def _steps(scheme: Scheme, layout: Layout) -> Iterator[Step]:
    """The step of each position; the first of a field forgets what was before it."""
    for field, span in zip(scheme.fields, layout.spans, strict=True):
        step = _step(field, len(span))
        yield partial(_from_the_start, step)
        yield from repeat(step, len(span) - 1)


def _from_the_start(step: Step, _before: str, character: str) -> State:
    return step(_BEGIN, character)


def _step(field: Field, length: int) -> Step:
    if field.readings is not None:
        return partial(_within, frozenset(_beginnings(field.readings, length)))
    if field.kind is FieldKind.SEQUENCE and field.greatest(length) < field.first:
        return lambda _state, _character: None
    if field.kind is FieldKind.SEQUENCE:
        return partial(_between, field, *_bounds(field, length))
    return lambda _state, _character: _FREE


def _beginnings(texts: Iterable[str], length: int) -> Iterator[str]:
    return (text[:end] for text in texts if len(text) == length for end in range(1, length + 1))


def _within(beginnings: frozenset[str], state: str, character: str) -> State:
    """The state is the text so far: it must be the beginning of one of the texts."""
    begun = state + character
    return begun if begun in beginnings else None


def _bounds(field: Field, length: int) -> tuple[str, str]:
    first, last = field.digits(field.first), field.digits(field.greatest(length))
    return first.rjust(length, field.characters[0]), last.rjust(length, field.characters[0])


def _between(field: Field, low: str, high: str, state: str, character: str) -> State:
    """The state is the text so far, until it is sure to stay within the bounds."""
    if state == _FREE:
        return _FREE
    begun = state + character
    number, length = field.number(begun), len(begun)
    if not field.number(low[:length]) <= number <= field.number(high[:length]):
        return None
    return begun if begun in (low[:length], high[:length]) else _FREE
