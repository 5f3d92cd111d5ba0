"""Reading the document of a scheme: everything that is wrong with it at once, or the scheme."""

from __future__ import annotations

from service.domain.serials.document.faults import Fault, SchemeFaults
from service.domain.serials.document.whole import scheme_faults, scheme_from_document

__all__ = ["Fault", "SchemeFaults", "scheme_faults", "scheme_from_document"]
