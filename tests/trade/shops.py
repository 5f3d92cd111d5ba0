"""The shops whose questions are held here: each a catalogue, and what has happened there so far."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from service.demo import serials
from service.demo.world import demo_catalogue, demo_events
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.gathering import serials_of
from service.domain.facts.question import Question
from service.domain.facts.records import Records
from service.domain.ledger.event import Draft, Event
from service.domain.ledger.fold import States, step
from service.domain.ledger.kinds import draft_faults, named_subjects
from service.domain.ledger.records import gathered
from service.papers import read_catalogue
from service.words.language import language
from service.words.names import Names
from tests.ledger.telling import fold

CATALOGUES = Path(__file__).parents[1] / "catalogues"
NOW = datetime(2026, 1, 5, 9, tzinfo=UTC)


@dataclass(frozen=True, slots=True, eq=False)
class Shop:
    """A shop at the moment at which its questions are asked."""

    compiled: CompiledCatalogue
    drafts: tuple[Draft, ...]
    states: States
    serials: Mapping[str, str]
    """Serials that a case may call by name, so that it can be read."""

    @property
    def names(self) -> Names:
        return Names(self.compiled.catalogue, language("en"))

    def records(self, question: Question, later: Iterable[Mapping[str, Any]] = ()) -> Records:
        """What the shop's ledger says to a question, after these further events."""
        told = [event for each in later for event in each.items()]
        drafts = [Draft(kind=kind, occurred_at=NOW, data=data) for kind, data in told]
        assert [fault for draft in drafts for fault in draft_faults(draft)] == []
        states = States(boards=dict(self.states.boards), units=dict(self.states.units))
        for seq, draft in enumerate(drafts, len(self.drafts) + 1):
            step(states, numbered(seq, draft))
        boards, units = serials_of(self.compiled, question)
        return gathered(states, boards, units, len(self.drafts) + len(drafts))


def numbered(seq: int, draft: Draft) -> Event:
    """The draft as the ledger's event of that number."""
    return Event(
        seq=seq,
        kind=draft.kind,
        occurred_at=draft.occurred_at,
        recorded_at=draft.occurred_at,
        data=draft.data,
        subjects=tuple(named_subjects(draft.kind, draft.data)),
    )


def opened(text: str, drafts: Iterable[Draft] = (), named: Mapping[str, str] | None = None) -> Shop:
    drafts = tuple(drafts)
    events = [numbered(seq, draft) for seq, draft in enumerate(drafts, 1)]
    return Shop(compile_catalogue(read_catalogue(text)), drafts, fold(events), named or {})


@cache
def shop(name: str) -> Shop:
    """The demo's shop, or one that has only a catalogue of that name."""
    if name == "demo":
        told = vars(serials).items()
        named = {key: value for key, value in told if key.isupper() and isinstance(value, str)}
        return opened(demo_catalogue(), demo_events(), named)
    return opened((CATALOGUES / f"{name}.yaml").read_text(encoding="utf-8"))
