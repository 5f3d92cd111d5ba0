"""Cases of the till are files: what is given, and what a careful dealer does.

    says: one sentence of the trade, or who asks and why
    given:
      question: a question as it is sent to the till
      events: [{sold: {board: …}}]        # what happened in the shop besides; left out: nothing
      day: "2026-09-03"                   # left out: the shop's today
    expect: what `told` calls by these names

The folder is the shop. A serial may be called by its name in the demo (`USED_MAIN_60`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from service.api.schemas.sale import SaleCheckQuestion
from service.api.selling import question
from service.domain.facts.gathering import serials_of
from service.domain.facts.question import ImpossibleQuestion
from service.domain.facts.sources import Sources
from service.domain.ledger.event import Draft, Event
from service.domain.ledger.fold import States, step
from service.domain.ledger.kinds import draft_faults
from service.domain.ledger.records import gathered
from service.domain.sale.check import SaleAnswer, check_sale
from service.domain.sale.judging import as_put
from service.domain.sale.past import was_out
from service.domain.sale.situation import Circumstances
from tests.trade.case_files import _Loader, in_full
from tests.trade.shops import NOW, Shop, numbered, shop

FOLDER = Path(__file__).parent / "cases"
FIELDS = {"says", "given", "expect"}
GIVEN = {"question", "events", "day"}


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """One case file, its serials in full."""

    name: str
    says: str
    shop: Shop
    given: Mapping[str, Any]
    expect: Mapping[str, Any]


def read(path: Path) -> Case:
    document = yaml.load(path.read_text(encoding="utf-8"), Loader=_Loader)  # noqa: S506 - a safe loader still
    assert document.keys() == FIELDS, path.name
    assert document["given"].keys() <= GIVEN, path.name
    where = shop(path.parent.name)
    given = in_full(document["given"], where.serials)
    return Case(f"{path.parent.name}/{path.stem}", document["says"], where, given, document["expect"])


@cache
def cases() -> tuple[Case, ...]:
    return tuple(read(path) for path in sorted(FOLDER.glob("*/*.yaml")))


def parameters() -> list[Any]:
    return [pytest.param(case, id=case.name) for case in cases()]


def answered(case: Case) -> SaleAnswer | ImpossibleQuestion:
    """What the service decides on the case's question."""
    asked = question(SaleCheckQuestion().load(case.given["question"]))
    states, events = _lived(case)
    compiled = case.shop.compiled
    boards, units = serials_of(compiled, as_put(asked))
    records = gathered(states, boards, units, len(events))
    serial = compiled.read_board(asked.board.serial or "").serial
    record = records.boards.get(serial)
    donors = gathered(states, (), [record.donor] if record and record.donor else [], len(events)).units
    circumstances = Circumstances(
        day=date.fromisoformat(case.given.get("day", NOW.date().isoformat())),
        was_out=was_out([event for event in events if serial in {who.serial for who in event.subjects}]),
        donor=next(iter(donors.values()), None),
    )
    try:
        return check_sale(Sources(compiled=compiled, records=records, looked_up=True), asked, circumstances)
    except ImpossibleQuestion as fault:
        return fault


def _lived(case: Case) -> tuple[States, list[Event]]:
    """The shop's states after the case's own events, and all events so far."""
    told = [event for each in case.given.get("events", ()) for event in each.items()]
    drafts = [
        Draft(kind=kind, occurred_at=NOW, data=_numbered(data, len(case.shop.drafts) + at))
        for at, (kind, data) in enumerate(told)
    ]
    assert [fault for draft in drafts for fault in draft_faults(draft)] == []
    states = States(boards=dict(case.shop.states.boards), units=dict(case.shop.states.units))
    events = [numbered(seq, draft) for seq, draft in enumerate(case.shop.drafts, 1)]
    for draft in drafts:
        events.append(numbered(len(events) + 1, draft))
        step(states, events[-1])
    return states, events


def _numbered(data: Mapping[str, Any], before: int) -> Mapping[str, Any]:
    """`placed: the_event_before` with that event's number, which is the shop's affair."""
    return {name: before if value == "the_event_before" else value for name, value in data.items()}
