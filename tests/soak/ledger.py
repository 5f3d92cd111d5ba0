"""The clients' books against the ledger, where others than the clients' own events are written too."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random

from sqlalchemy import Engine

from service.store.engine import reading
from service.store.ledger import events_after
from tests.endurance import soundness
from tests.endurance.asking import Answer
from tests.soak.clients import Client, Written

BY_THE_TILL = "sale_checked"
"""The kind of event whose number no answer tells; they are counted."""
REPEATED = 200
"""Writes that are sent once more at the end, where there are so many."""

Told = tuple[int, str, str]
"""Number, kind and board of an event."""


def faults(engine: Engine, start: int, clients: Sequence[Client], reader: Client | None) -> list[str]:
    """Whatever differs between the clients' books and the ledger after number `start`, at rest."""
    kept = list(_kept(engine, start))
    acknowledged = [each for client in clients for each in client.book.acknowledged]
    told = Counter(event for each in acknowledged for event in _promised(*each))
    there = Counter(event for event in kept if event[1] != BY_THE_TILL)
    found = [f"lost: {one}" for one in sorted(told - there)[:5]]
    found += [f"promised to nobody: {one}" for one in sorted(there - told)[:5]]
    checks = sum(written.kind == "sale check" for written, _ in acknowledged)
    if checks != len(kept) - there.total():
        found.append(f"{checks} sale checks were acknowledged, {len(kept) - there.total()} are in the ledger")
    if reader is not None and reader.fed != [seq for seq, _, _ in kept]:
        found.append("who followed the feed has not seen every event once and in order")
    return found + soundness.faults(engine)


def repeat_some(clients: Sequence[Client]) -> None:
    """Send some acknowledged writes once more; the clients blame what is answered otherwise."""
    random = Random(REPEATED)
    written = sum(len(client.book.acknowledged) for client in clients)
    for _ in range(min(REPEATED, written)):
        random.choice(clients).repeat()


def _promised(written: Written, answer: Answer) -> Iterator[Told]:
    """The events that an answer says were recorded."""
    body = answer.json()
    if written.kind == "record events":
        yield from ((event["seq"], event["kind"], event["data"]["board"]) for event in body["events"])
    elif written.kind == "sale completion":
        yield body["completed"]["seq"], "sold", body["board"]["serial"]


def _kept(engine: Engine, start: int) -> Iterator[Told]:
    with reading(engine) as connection:
        while found := events_after(connection, start):
            yield from ((event.seq, event.kind, event.data["board"]) for event in found)
            start = found[-1].seq
