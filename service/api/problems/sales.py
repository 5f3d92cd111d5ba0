"""Why a sale does not go through, as problems with what is true now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from service.api.problems.problem import Problem
from service.usecases.sale import Change, CheckOutdated, NotForSale, SoldMeanwhile

CODES = ("unknown_sale_check", "check_outdated", "sold_meanwhile", "not_for_sale")

WHY_NOT = {
    "past": "the check is about a moment in the past: make one about now",
    "brought": "the check is about a board that the customer brings: there is nothing to sell",
    "decision": "the check says {decision}: settle its grounds and make a new one",
}
SOLD = "the board was sold meanwhile: offer another one"
SOLD_BY_THIS = "this check was completed before: GET it to see when"
OUTDATED = "what was checked is not so any more ({what}): make a new check"


@contextmanager
def told_as_conflicts() -> Iterator[None]:
    """What stands against a sale inside is raised as a `Problem` of one of CODES."""
    try:
        yield
    except NotForSale as fault:
        detail = WHY_NOT[fault.why].format(decision=fault.decision)
        raise Problem("not_for_sale", detail, members={"decision": fault.decision}) from None
    except SoldMeanwhile as fault:
        raise Problem("sold_meanwhile", SOLD_BY_THIS if fault.by_this_check else SOLD) from None
    except CheckOutdated as fault:
        raise _outdated(fault) from None


def _outdated(fault: CheckOutdated) -> Problem:
    what = ", ".join(change.what for change in fault.changed)
    members = {"decision": fault.now.decision.value, "changed": [_change(each) for each in fault.changed]}
    return Problem("check_outdated", OUTDATED.format(what=what), members=members)


def _change(of: Change) -> Mapping[str, Any]:
    told = {"was": of.was, "now": of.now}
    return {"what": of.what, **{name: value for name, value in told.items() if value is not None}}
