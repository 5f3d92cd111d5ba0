"""How what is said of one board's binding combines: readings and records, then claims.

A binding only grows: blank, then one model for good. So a later word may be more than an earlier one
and never other than it. The meanings, once more and apart from the service's own code:

- readings and records are one body of evidence: a model after blank is growth; blank after a model, or
  two models, contradict each other, and exactly those values are left;
- a reading decides against any claim;
- a record decides against a claim of another model;
- otherwise the two join: what is compatible with both, or else what the weaker word makes of a blank.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tests.oracles.world import BLANK

USED = "used"
"""Said of a board that is bound, to a model that nobody names."""


@dataclass(frozen=True, slots=True)
class Bindings:
    """What is left of a binding: the values it may have, and whether they contradict each other."""

    values: frozenset[str]
    contradiction: bool = False


def meant(word: str, models: frozenset[str]) -> frozenset[str]:
    """The values that a word leaves: `blank`, `used` or a model, whatever the part is listed for."""
    return models if word == USED else frozenset({word})


def recorded_values(record: Mapping[str, Any] | None, models: frozenset[str]) -> frozenset[str] | None:
    """What a record leaves; None where it says nothing of the binding."""
    if record is None or (record.get("values") is None and not record.get("any_model")):
        return None
    extra = models if record.get("any_model") else frozenset()
    return frozenset(record.get("values") or ()) | extra


def grown(before: str, after: str) -> frozenset[str]:
    """A later value after an earlier one, where that is possible at all."""
    return frozenset({after}) if before in (BLANK, after) else frozenset()


def read_after(record: frozenset[str], reading: frozenset[str]) -> Bindings:
    """A reading taken after what is recorded."""
    joined = frozenset(value for b in record for a in reading for value in grown(b, a))
    return Bindings(joined) if joined else Bindings(record | reading, contradiction=True)


def claimed_beside(known: frozenset[str], claim: frozenset[str]) -> frozenset[str]:
    """A claim beside a record that says something."""
    # A recorded blank may have grown since into what is claimed; a recorded model stands.
    grown = claim - {BLANK} if BLANK in known else frozenset()
    return known & claim or grown or known


def combined(
    models: frozenset[str],
    *,
    record: Mapping[str, Any] | None = None,
    read: str | None = None,
    claimed: str | None = None,
) -> Bindings:
    """What is left of the binding of a board whose part can be bound to `models`."""
    # A model that is named is one that a used board may be bound to, whatever its part is listed for.
    models |= {word for word in (read, claimed) if word not in (None, BLANK, USED)}
    known = recorded_values(record, models)
    if record is not None and record.get("contradiction"):
        # A further reading is one more of the values that contradict each other.
        again = meant(read, models) if read is not None else frozenset()
        return Bindings((known or frozenset()) | again, contradiction=True)
    if read is not None:
        found = Bindings(meant(read, models)) if known is None else read_after(known, meant(read, models))
        if found.contradiction or claimed is None:
            return found
        return Bindings(found.values & meant(claimed, models) or found.values)
    if claimed is not None:
        said = meant(claimed, models)
        return Bindings(said if known is None else claimed_beside(known, said))
    return Bindings(models | {BLANK} if known is None else known)
