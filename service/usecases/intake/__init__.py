"""From what a client tells of an event to what is recorded: serials as stored, names that exist, gaps filled.

A client writes serials as it reads them and leaves out what the label, the ledger or the catalogue in
force says anyway; an event of the ledger means the same for ever, so everything stands in it.
"""

from service.usecases.intake.drafting import drafted, drafts, serials_of, untyped
from service.usecases.intake.known import Known
from service.usecases.intake.told import Told

__all__ = ["Known", "Told", "drafted", "drafts", "serials_of", "untyped"]
