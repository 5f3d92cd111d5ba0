"""Ranges of versions. Semantic versioning defines none; this is our grammar, a part of the widespread one.

    range      = set *( "||" set )                     ; in one of the sets
    set        = comparator *( SP comparator )         ; in all of them
               / partial " - " partial                 ; from … up to and with …
    comparator = [ "<" / "<=" / ">" / ">=" / "=" / "^" / "~" ] partial
    partial    = part [ "." part [ "." part [ "-" pre-release ] ] ]
    part       = number / "x" / "X" / "*"

What a partial leaves out, or writes as `x`, is open: `1.2` is every 1.2.*, `>1` begins with 2.0.0, `<=1.2`
ends before 1.3.0. `~1.2.3` leaves the patch open from there on, `^1.2.3` all that stands right of the first
number that is not zero. An operator stands next to its partial, and never before one that is all open; a
leading `v`, build metadata and an empty text are refused.

The rule of pre-releases: one lies in a set only if a comparator of that set names a pre-release of the same
three numbers. `>=1.3.0-beta.2` takes 1.3.0-rc.1 and 1.4.0, not 1.4.0-rc.1: what is still being tried out is
loaded where it is asked for by name only.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import takewhile

from service.domain.software.versions import LONGEST, NUMBER, PRE_RELEASE, Version, identifiers

_PART = rf"(?:{NUMBER}|[xX*])"
_PARTIAL = re.compile(
    rf"(?P<op><=|>=|[<>=^~])?(?P<major>{_PART})(?:\.(?P<minor>{_PART})(?:\.(?P<patch>{_PART})(?:-(?P<pre>{PRE_RELEASE}))?)?)?"
)
_HYPHEN = " - "

Triple = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Span:
    """The versions between two bounds, `first` in and `end` out; None is no bound."""

    first: Version | None
    end: Version | None
    named: frozenset[Triple]
    """The three numbers of every pre-release that is asked for by name."""

    def __contains__(self, version: Version) -> bool:
        if self.first is not None and version < self.first:
            return False
        if self.end is not None and version >= self.end:
            return False
        return version.finished or version.triple in self.named


@dataclass(frozen=True, slots=True)
class Range:
    """A set of versions, and the text that states it."""

    text: str
    spans: tuple[Span, ...]

    def __contains__(self, version: Version) -> bool:
        return any(version in span for span in self.spans)

    def __str__(self) -> str:
        return self.text


def parse_range(text: str) -> Range:
    """The range that a text states. Raises ValueError, which names the part that is none."""
    if len(text) > LONGEST:
        raise ValueError(f"a range has at most {LONGEST} characters, this one has {len(text)}")
    return Range(text, tuple(_span(each.strip(" ")) for each in text.split("||")))


def exactly(version: Version) -> Range:
    """The range that holds one version alone."""
    named = frozenset(() if version.finished else (version.triple,))
    return Range(f"={version}", (Span(version, _after(version), named),))


@dataclass(frozen=True, slots=True)
class _Partial:
    """A version of which the last numbers may be left open."""

    operator: str
    numbers: tuple[int, ...]
    """One to three numbers, none for `*`."""
    version: Version
    """The oldest version that the partial describes."""

    @property
    def whole(self) -> bool:
        return len(self.numbers) == 3

    @property
    def end(self) -> Version:
        """The first version past all that it describes. It has a number at least."""
        return _after(self.version) if self.whole else _raised(self.numbers)


def _first_of(triple: Triple) -> Version:
    """The oldest version of three numbers: its pre-release `0` is older than any other."""
    return Version(*triple, False, identifiers("0"))


def _raised(numbers: tuple[int, ...]) -> Version:
    """The very first version, pre-releases counted, whose last given number is one more."""
    major, minor, patch = (*numbers[:-1], numbers[-1] + 1, 0, 0)[:3]
    return _first_of((major, minor, patch))


def _after(version: Version) -> Version:
    """The version next after one: no other lies between the two."""
    if version.finished:
        return _raised(version.triple)
    return Version(*version.triple, False, (*version.pre_release, *identifiers("0")))


def _span(text: str) -> Span:
    if _HYPHEN in text:
        low, _, high = text.partition(_HYPHEN)
        bounds = [_bounds(_plain(low, ">=")), _bounds(_plain(high, "<="))]
    else:
        bounds = [_bounds(_partial(word)) for word in text.split(" ") if word] or [_bounds(_partial(text))]
    firsts = [first for first, _, _ in bounds if first is not None]
    ends = [end for _, end, _ in bounds if end is not None]
    named = frozenset(triple for _, _, triples in bounds for triple in triples)
    return Span(max(firsts, default=None), min(ends, default=None), named)


def _plain(text: str, operator: str) -> _Partial:
    """One end of a hyphen's range, which has no operator of its own."""
    partial = _partial(text.strip(" "))
    if partial.operator:
        raise ValueError(f"the ends of a range with a hyphen have no operator: {text[:40]!r}")
    return _Partial(operator, partial.numbers, partial.version)


def _partial(text: str) -> _Partial:
    match = _PARTIAL.fullmatch(text)
    if match is None:
        raise ValueError(f"not a range of versions: {text[:40]!r}, write it as '>=1.2.0 <2.0.0' or '^1.2.0'")
    parts = [part for part in (match["major"], match["minor"], match["patch"]) if part is not None]
    numbers = tuple(int(part) for part in takewhile(str.isdigit, parts))
    if any(part.isdigit() for part in parts[len(numbers) :]) or (match["pre"] and len(numbers) < 3):
        raise ValueError(f"in a range nothing stands behind a number that is left open: {text[:40]!r}")
    if match["op"] and not numbers:
        raise ValueError(f"a range of all versions has no operator: {text[:40]!r}")
    major, minor, patch = (*numbers, 0, 0, 0)[:3]
    version = Version(major, minor, patch, match["pre"] is None, identifiers(match["pre"]))
    return _Partial(match["op"] or "", numbers, version)


def _bounds(partial: _Partial) -> tuple[Version | None, Version | None, tuple[Triple, ...]]:
    """The first version of a comparator, the first past it, and the pre-release it names."""
    named = () if partial.version.finished else (partial.version.triple,)
    return (_first(partial), _end(partial), named) if partial.numbers else (None, None, named)


def _first(partial: _Partial) -> Version | None:
    match partial.operator:
        case "<" | "<=":
            return None
        case ">":
            # Past an open partial comes a finished version: no pre-release of 2.0.0 is past `1`.
            return partial.end if partial.whole else Version(*partial.end.triple)
        case _:
            return partial.version


def _end(partial: _Partial) -> Version | None:
    match partial.operator:
        case ">" | ">=":
            return None
        case "<":
            # An open partial begins with its first pre-release, so that `<1.2` ends before 1.2.0-0.
            return partial.version if partial.whole else _first_of(partial.version.triple)
        case "~":
            return _raised(partial.numbers[:2])
        case "^":
            return _raised(partial.numbers[: _kept(partial.numbers)])
        case _:
            return partial.end


def _kept(numbers: tuple[int, ...]) -> int:
    """How many numbers a caret holds fast: up to the first that is not zero."""
    return next((at + 1 for at, number in enumerate(numbers) if number), len(numbers))
