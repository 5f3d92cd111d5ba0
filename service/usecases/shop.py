"""What a use case answers from: the catalogue in force and the ledger."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue


class NoCatalogue(Exception):  # noqa: N818 - a state of the shop, not a failure
    """Nothing is published yet, so there is nothing to answer from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """The means of every use case, made once for a process."""

    catalogue: Callable[[], CompiledCatalogue]
    """The revision in force. Raises NoCatalogue."""
    ready: Callable[[], bool]
    """Whether the store answers and a catalogue is published."""
