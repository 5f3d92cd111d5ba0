"""Where facts come from: the catalogue, and the records at hand."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import Any

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.records import Records


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """What putting a case together needs at hand. `looked_up` is false for a caller that may not read the
    ledger: nothing recorded is known then, and a held serial may or may not be in service."""

    compiled: CompiledCatalogue
    records: Records
    looked_up: bool
    hosts: dict[Hashable, Any] = field(default_factory=dict)
    """Units by what is stated of them: many questions asked together are about few units (`host`)."""
    boards: dict[Hashable, Any] = field(default_factory=dict)
    """Proposed boards by what is stated of them, and in which place: the same (`board_case`)."""

    def unit_serial(self, text: str | None) -> str | None:
        """A stated unit serial, compacted; the empty string ("holds none") and None stay what they are."""
        return self.compiled.read_unit(text).serial if text else text
