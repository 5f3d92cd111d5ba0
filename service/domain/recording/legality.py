"""Every law that an event must pass, by its kind."""

from __future__ import annotations

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.ledger.fold import States
from service.domain.recording.refusal import Refusal, Told


def judge(compiled: CompiledCatalogue, states: States, told: Told) -> tuple[Refusal, ...]:
    """What is held against an event; `states` are those before it, of its subjects and of the boards that
    sit in its units."""
    return ()
