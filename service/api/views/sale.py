"""The till (Q7): may we sell this board to this customer, and selling it."""

from __future__ import annotations

from typing import Any

from service.api.batch import catalogue_of
from service.api.blueprint import Routes
from service.api.edge.path import PathText
from service.api.edge.reply import Reply
from service.api.present import sale as present
from service.api.problems import sales
from service.api.problems.impossible import impossible
from service.api.schemas.sale import KeptSaleCheck, Receipt, SaleCheckOut, SaleCheckQuestion, SaleCompletion
from service.api.seeing.metrics import SALE
from service.api.seeing.seen import seen
from service.api.selling import asked, completion, read_again
from service.api.text import sale as text
from service.domain.facts.question import ImpossibleQuestion
from service.domain.sale.judging import as_put
from service.usecases import sale
from service.usecases.caller import Caller, Scope
from service.usecases.repeats import Repeat
from service.usecases.shop import Shop

blp = Routes("sale", __name__, description="Selling a board over the counter.")

ID = PathText(
    name="id", description="The id that the answer came with.", example="sc-3f6c1d2e4b5a69780c1d2e3f"
)


@blp.operation(
    "/v1/sale-checks",
    name="check_sale",
    answer=SaleCheckOut,
    body=SaleCheckQuestion,
    scope=Scope.SELL,
    stores=True,
)
def check_sale(
    shop: Shop, caller: Caller, query: dict[str, Any], body: dict[str, Any], repeat: Repeat
) -> Reply:
    """Tell whether this board may be sold to this customer, and what to say and charge with it.

    No decision rests on a claim or an assumption. The answer is kept as it is given, and can be fetched
    and completed by its id. With `brought`: whether to program a board that the customer brings.
    """
    put = asked(body)
    try:
        catalogue_of(shop, as_put(put.question))
        stored = sale.check(shop, caller, repeat, put, lambda made: present.check(made, caller.language))
    except ImpossibleQuestion as fault:
        raise impossible(_of_one_board(fault), shop.catalogue()) from None
    if not stored.replayed:
        seen().answered(SALE, stored.data["decision"])
    location = f"/v1/sale-checks/{stored.data['id']}"
    return Reply.of_stored(stored, lambda: text.check(stored.data), location)


@blp.operation(
    "/v1/sale-checks/<string:id>",
    name="get_sale_check",
    answer=KeptSaleCheck,
    path=[ID],
    problems=["unknown_sale_check"],
    scope=Scope.SELL,
)
def get_sale_check(shop: Shop, caller: Caller, query: dict[str, Any], id: str) -> Reply:  # noqa: A002 - the parameter's name in the address
    """Fetch an answer of the till, exactly as it was given, and the sale that it led to.

    It does not change when the catalogue or the ledger does. An answer of another owner is not there.
    """
    data = present.kept(sale.kept(shop, caller, id))
    return Reply.of_kept(data, lambda: text.check(data))


@blp.operation(
    "/v1/sale-checks/<string:id>/completion",
    name="complete_sale",
    answer=Receipt,
    body=SaleCompletion,
    path=[ID],
    problems=sales.CODES,
    scope=Scope.SELL,
    stores=True,
)
def complete_sale(
    shop: Shop,
    caller: Caller,
    query: dict[str, Any],
    body: dict[str, Any],
    repeat: Repeat,
    id: str,  # noqa: A002 - the parameter's name in the address
) -> Reply:
    """Sell the board on this answer: in one step it is decided again and recorded as sold.

    Every condition has to be accepted. Where decision or conditions are not as they were told any more, or
    another till was first, nothing is sold. A price is honoured until its `valid_until`.
    """
    asked_for = completion(id, body)
    with sales.told_as_conflicts():
        stored = sale.complete(shop, caller, repeat, asked_for, read_again, present.receipt)
    return Reply.of_stored(stored, lambda: text.receipt(stored.data), f"/v1/sale-checks/{id}")


def _of_one_board(fault: ImpossibleQuestion) -> ImpossibleQuestion:
    """The till's question has one board, and not a list of them."""
    pointer = (
        fault.pointer.replace("/boards/0", "/board", 1)
        if fault.pointer.startswith("/boards/0")
        else fault.pointer
    )
    return ImpossibleQuestion(fault.code, pointer, **fault.facts)
