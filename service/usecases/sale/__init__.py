"""May we sell this board to this customer, and selling it (Q7).

A check is decided and kept in one transaction under the ledger's lock, with an event that tells of it. A
completion decides again, under the same lock, from what is true by then: of two tills one sells.
"""

from service.usecases.sale.checking import Asked, Check, Shown, check
from service.usecases.sale.completing import (
    CheckOutdated,
    Completion,
    NotForSale,
    SoldMeanwhile,
    complete,
)
from service.usecases.sale.deciding import Change
from service.usecases.sale.keeping import Kept, kept

__all__ = [
    "Asked",
    "Change",
    "Check",
    "CheckOutdated",
    "Completion",
    "Kept",
    "NotForSale",
    "Shown",
    "SoldMeanwhile",
    "check",
    "complete",
    "kept",
]
