"""The clients' books against the ledger."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import closing
from typing import Any

from sqlalchemy import Engine

from service.store.engine import reading
from service.store.ledger import events_after, last_number
from tests.endurance import soundness
from tests.endurance.asking import Client
from tests.endurance.loading import Acknowledged, Book, is_repetition

Told = tuple[int, str, str]
"""Number, kind and board of an event."""


def faults(engine: Engine, port: int, before: int, books: Sequence[Book]) -> list[str]:
    """Whatever differs between books and ledger, whose events up to `before` are not the clients'."""
    written = [each for book in books for each in book.acknowledged]
    found = [wrong for book in books for wrong in book.wrong]
    found += [f"{each.write.key} was answered otherwise than sent" for each in written if not answers(each)]
    told = [event for each in written for event in promised(each)]
    found += differences("the ledger", Counter(told), Counter(kept(engine, before)))
    found += repeated(port, written)
    found += differences("the feed after all was repeated", Counter(told), Counter(fed(port, before)))
    return found + soundness.faults(engine)


def last(engine: Engine) -> int:
    """The number of the last event."""
    with reading(engine) as connection:
        return last_number(connection)


def answers(each: Acknowledged) -> bool:
    """Whether the answer tells of the events that were sent, in their order."""
    sent = [(event["kind"], event["data"]["board"]) for event in json.loads(each.write.body)["events"]]
    return sent == [(kind, board) for _, kind, board in promised(each)]


def promised(each: Acknowledged) -> list[Told]:
    """What an answer says was recorded."""
    return [told(event) for event in each.answer.json()["events"]]


def told(event: dict[str, Any]) -> Told:
    return event["seq"], event["kind"], event["data"]["board"]


def kept(engine: Engine, before: int) -> Iterator[Told]:
    """What the ledger holds after a number."""
    with reading(engine) as connection:
        while found := events_after(connection, before):
            yield from ((event.seq, event.kind, event.data["board"]) for event in found)
            before = found[-1].seq


def fed(port: int, before: int) -> Iterator[Told]:
    """What the feed tells after a number."""
    with closing(Client(port)) as client:
        while found := client.get(f"/v1/events?after={before}&page_size=100").json()["items"]:
            yield from map(told, found)
            before = found[-1]["seq"]


def differences(where: str, promised: Counter[Told], there: Counter[Told]) -> list[str]:
    """What was promised and is not there as often, and the other way round."""
    lost, more = promised - there, there - promised
    return [f"lost from {where}: {one}" for one in sorted(lost)[:5]] + [
        f"in {where} and promised to nobody: {one}" for one in sorted(more)[:5]
    ]


def repeated(port: int, written: Sequence[Acknowledged]) -> list[str]:
    """The writes that, asked for once more, are not answered as at first."""
    with closing(Client(port)) as client:
        other = [each for each in written if not is_repetition(client.record(each.write), each.answer)]
    return [f"{each.write.key} is not answered as at first" for each in other]
