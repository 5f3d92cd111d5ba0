"""The check fields of a scheme's document."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from service.domain.serials.check import SYSTEMS, CheckSystem
from service.domain.serials.document.faults import Place, Wrong, shown
from service.domain.serials.document.values import distinct, field_name, listed, one_of
from service.domain.serials.fields import Check, Field, FieldKind


def check_field(
    document: Mapping[object, object],
    name: str,
    place: Place,
    others: Mapping[str, Field | None],
    before: Mapping[str, Field | None],
) -> Field | None:
    """`others` are all fields but the checks; `before` are the checks that it may run over."""
    known = {**others, **before}
    system = place.take(document, "system", lambda value: SYSTEMS[one_of(SYSTEMS)(value)])
    usual: Sequence[str] = tuple(others)
    over = place.take_or(document, "over", partial(_names, known), usual)
    if system is None or over is None:
        return None
    fields = [field for field in map(known.get, over) if field is not None]
    if len(fields) != len(over) or place.attempt(lambda: _runs(system, fields)) is None:
        return None
    return Field(
        name=name,
        kind=FieldKind.CHECK,
        least=system.length,
        most=system.length,
        characters=system.check,
        check=Check(system=system, over=tuple(over)),
    )


def _names(known: Mapping[str, Field | None], value: object) -> Sequence[str]:
    names = distinct([field_name(entry) for entry in listed(value)])
    for name in names:
        if name not in known:
            raise Wrong(
                f"a check cannot run over {shown(name)}",
                "name fields of this scheme; of check fields only those that stand before this one",
            )
    return names


def _runs(system: CheckSystem, fields: Sequence[Field]) -> bool:
    """Whether the system can run over every text of the fields; raises where it cannot."""
    for field in fields:
        foreign = sorted(set(field.characters) - set(system.body))
        if foreign:
            raise Wrong(
                f"{system.name} does not run over {foreign[0]!r}, which can stand in {field.name!r}",
                "give the field 'characters' without it, leave it out of 'over', or use another system",
            )
    least, most = sum(field.least for field in fields), sum(field.most for field in fields)
    if least < system.least or (system.most is not None and most > system.most):
        raise Wrong(
            f"{system.name} does not run over {least} to {most} characters",
            f"let it run over {system.least} to {system.most or 'any number of'} characters",
        )
    return True
