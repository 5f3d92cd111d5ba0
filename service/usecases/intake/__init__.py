"""From what a client tells of an event to what is recorded: serials as stored, names that exist, gaps filled.

A client writes serials as it reads them and leaves out what the label, the ledger or the catalogue in
force says anyway; an event of the ledger means the same for ever, so everything stands in it.
"""

from service.usecases.intake.drafting import drafts, serials_of
from service.usecases.intake.told import Told

__all__ = ["Told", "drafts", "serials_of"]
