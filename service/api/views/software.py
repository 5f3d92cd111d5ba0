"""Which software goes together on a machine's boards, and in which order it is loaded (Q12)."""

from __future__ import annotations

from typing import Any

from service.api.asking import stated_unit
from service.api.blueprint import Routes
from service.api.edge.reply import Reply
from service.api.present.software import software_plan
from service.api.present.wording import wording
from service.api.problems.impossible import impossible
from service.api.schemas.closed import Assume
from service.api.schemas.software import SoftwareAnswer, SoftwareQuestion
from service.api.seeing.metrics import SOFTWARE
from service.api.seeing.seen import seen
from service.api.text import software as text
from service.domain.facts.question import ImpossibleQuestion
from service.usecases import software as usecase
from service.usecases.caller import Caller
from service.usecases.shop import Shop

blp = Routes(
    "software", __name__, description="Which software goes together, and in which order is it loaded?"
)


@blp.operation("/v1/software-plans", name="plan_software", answer=SoftwareAnswer, body=SoftwareQuestion)
def plan_software(shop: Shop, caller: Caller, query: dict[str, Any], body: dict[str, Any]) -> Reply:
    """Plan the loads that bring a machine's software together: the fewest, in an order that is safe.

    Nothing is stored. After each load the boards still go together; where it is open what is on a board,
    there is a plan for each case that makes a difference.
    """
    asked = usecase.SoftwareQuestion(
        unit=stated_unit(body["unit"]),
        boards=tuple(usecase.BoardSoftware(**board) for board in body.get("boards", ())),
        aim=body["goal"],
        wanted=body.get("wanted", {}),
        means=body["means"],
        assume=body["assume"] is Assume.USUAL,
    )
    try:
        found = usecase.plan_software(shop, caller, asked)
    except ImpossibleQuestion as fault:
        raise impossible(_at_the_top(fault), shop.catalogue()) from None
    seen().answered(SOFTWARE, found.answer.outcome)
    words = wording(found.compiled.catalogue, caller.language)
    data = software_plan(found, words)
    return Reply.of_moment(data, lambda: text.software_plan(data, words.names.language))


def _at_the_top(fault: ImpossibleQuestion) -> ImpossibleQuestion:
    """The boards of this question stand beside the unit, not in it."""
    pointer = fault.pointer.replace("/unit/boards", "/boards").replace("/claimed", "")
    return ImpossibleQuestion(fault.code, pointer, **fault.facts)
