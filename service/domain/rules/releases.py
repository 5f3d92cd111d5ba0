"""Rule 10: a set of releases exists that goes together on the resulting boards and can be reached.

It looks at several boards at once, whatever is open of them: `domain.fit.joined` goes through the ways in
which they may be, and `domain.software` knows what goes together and how it is reached.
"""

from __future__ import annotations

from collections.abc import Sequence

from service.domain.catalogue.compiled import CompiledModel
from service.domain.place import Place
from service.domain.rules.finding import Finding, finding
from service.domain.software.bound import BoundExceeded
from service.domain.software.facts import Fact
from service.domain.software.plans import Load
from service.domain.software.task import Task
from service.domain.software.why_not import why_not
from service.domain.terms import Rule, StepKind


def must_be_loaded(owner: CompiledModel, loads: Sequence[Load]) -> Finding:
    """Rule 10 holds once these releases are loaded. Told of the first of them."""
    facts = (
        ("step", str(StepKind.LOAD)),
        ("release", str(loads[0].version)),
        ("unit_model", str(owner.model.id)),
    )
    return finding("must_be_loaded", Rule.RELEASES, loads[0].place, "release", *facts)


def do_not_go_together(owner: CompiledModel, at: Place, task: Task) -> Finding:
    """Rule 10 fails: whatever is loaded, the boards of this task, which carry what they carry, do not go
    together."""
    facts = (
        ("unit_model", str(owner.model.id)),
        *(("role", str(role)) for role in dict.fromkeys(board.place.role for board in task.boards)),
        *(("because", str(each)) for each in _because(task)),
    )
    return finding("releases_do_not_go_together", Rule.RELEASES, at, "release", *facts)


def _because(task: Task) -> tuple[Fact, ...]:
    """A smallest set of facts that rules a plan out; none where nobody can tell in time."""
    try:
        return why_not(task)
    except BoundExceeded:
        return ()
