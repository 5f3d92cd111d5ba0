"""What one scheme reads in a compacted text."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain, product

from service.domain.serials import dating
from service.domain.serials.compiled import CheckPlan, Layout
from service.domain.serials.decoded import Decoded, Unreadable, UnreadableCause
from service.domain.serials.fields import Values
from service.domain.serials.scheme import Scheme
from service.domain.terms import Serial


def read(scheme: Scheme, serial: Serial) -> Decoded | Unreadable | None:
    """What the scheme reads in a text whose look-alikes are resolved; None where it has not its shape.

    A field that cannot say what stands in it is told before a check character that disagrees: it
    tells more closely where to look.
    """
    layout = scheme.compiled.layouts.get(len(serial))
    match = layout.pattern.match(serial) if layout is not None else None
    if layout is None or match is None:
        return None
    texts = match.groups()
    values: dict[str, Values] = {}
    for (name, says), text in zip(scheme.compiled.readers, texts, strict=True):
        found = says(text)
        if not found:
            return _wrong_field(scheme, layout, serial, (name,))
        values[name] = found
    for plan in scheme.compiled.checks:
        body = "".join([texts[place] for place in plan.over])
        if not plan.system.holds(body, texts[plan.at]):
            return _wrong_check(scheme, layout, serial, plan, plan.system.compute(body))
    return _dated(scheme, layout, serial, values)


def _dated(scheme: Scheme, layout: Layout, serial: Serial, values: dict[str, Values]) -> Decoded | Unreadable:
    """Keep the years that have such a week or day; a serial that leaves none is misread."""
    if not scheme.made:
        return _decoded(scheme, serial, values, ())
    # INVARIANT: what dates a serial is a number, and each part but the year is one number.
    finer = tuple([next(iter(values[name])) for name in scheme.made[1:]])
    years, made = dating.intervals(scheme.compiled.dated_by, values[scheme.made[0]], finer)
    if not years:
        return _wrong_field(scheme, layout, serial, scheme.made)
    values[scheme.made[0]] = years
    return _decoded(scheme, serial, values, made)


def _decoded(
    scheme: Scheme, serial: Serial, values: dict[str, Values], made: tuple[dating.Interval, ...]
) -> Decoded:
    keys = product(*[values[name] for name in scheme.order]) if scheme.order else ()
    return Decoded(
        serial=serial,
        scheme=scheme.id,
        fields=values,
        models=scheme.models.targets(values),
        parts=scheme.parts.targets(values),
        order_keys=frozenset(keys),
        made=made,
    )


def _wrong_field(scheme: Scheme, layout: Layout, serial: Serial, names: Sequence[str]) -> Unreadable:
    """The fields of these names, together, say what cannot be."""
    spans = [layout.spans[scheme.compiled.places[name]] for name in names]
    places = sorted(chain.from_iterable(spans))
    return Unreadable(
        serial=serial,
        cause=UnreadableCause.FIELD,
        scheme=scheme.id,
        field=names[-1],
        positions=tuple(place + 1 for place in places),
        found="".join(serial[place] for place in places),
    )


def _wrong_check(scheme: Scheme, layout: Layout, serial: Serial, plan: CheckPlan, wanted: str) -> Unreadable:
    """The check characters are not the ones that the other characters ask for."""
    span = layout.spans[plan.at]
    return Unreadable(
        serial=serial,
        cause=UnreadableCause.CHECK_CHARACTER,
        scheme=scheme.id,
        field=scheme.fields[plan.at].name,
        positions=tuple(place + 1 for place in span),
        found=serial[span.start : span.stop],
        wanted=wanted,
    )
