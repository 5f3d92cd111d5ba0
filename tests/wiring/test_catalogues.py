"""A process notices a newer catalogue by a cheap look, every few seconds and not more often."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime
from threading import Barrier, Event, Thread

import pytest
from sqlalchemy import Connection, Engine, event

from service.demo.world import demo_catalogue
from service.papers import canonical_document, read_catalogue
from service.store import revisions
from service.store.engine import writing
from service.usecases.shop import NoCatalogue
from service.wiring import Catalogues

FIRST = demo_catalogue()
SECOND = FIRST.replace('price: "29.50"', 'price: "31.00"')


@dataclass
class Clock:
    now: float = 100.0

    def __call__(self) -> float:
        return self.now


@dataclass
class Statements:
    """What is sent to the database."""

    seen: list[str] = field(default_factory=list)

    def take(self) -> list[str]:
        taken, self.seen = self.seen, []
        return taken


@pytest.fixture
def statements(engine: Engine) -> Iterator[Statements]:
    found = Statements()

    def record(_c: object, _cursor: object, statement: str, *_: object) -> None:
        found.seen.append(statement)

    event.listen(engine, "before_cursor_execute", record)
    yield found
    event.remove(engine, "before_cursor_execute", record)


def publish(engine: Engine, text: str) -> revisions.Revision:
    with writing(engine) as connection:
        return revisions.publish(connection, canonical_document(text), read_catalogue(text).revision)


def test_before_anything_is_published_there_is_nothing_to_answer_from(engine: Engine) -> None:
    catalogues = Catalogues(engine, 2, Clock())
    with pytest.raises(NoCatalogue):
        catalogues.at(None)
    with pytest.raises(NoCatalogue):
        catalogues.at(datetime(2020, 1, 1, tzinfo=UTC))


def test_what_is_published_later_is_noticed(engine: Engine) -> None:
    clock = Clock()
    catalogues = Catalogues(engine, 2, clock)
    with pytest.raises(NoCatalogue):
        catalogues.at(None)
    first = publish(engine, FIRST)
    clock.now += 2
    assert catalogues.at(None).catalogue.revision == first.revision


def test_a_newer_revision_is_taken_after_the_wait_and_not_before(engine: Engine) -> None:
    clock = Clock()
    first = publish(engine, FIRST)
    catalogues = Catalogues(engine, 2, clock)
    held = catalogues.at(None)
    second = publish(engine, SECOND)
    clock.now += 1.9
    assert catalogues.at(None) is held
    clock.now += 0.2
    assert catalogues.at(None).catalogue.revision == second.revision != first.revision


def test_a_look_is_one_small_statement_and_there_is_none_in_between(
    engine: Engine, statements: Statements
) -> None:
    clock = Clock()
    publish(engine, FIRST)
    catalogues = Catalogues(engine, 2, clock)
    held = catalogues.at(None)
    statements.take()
    for _ in range(50):
        assert catalogues.at(None) is held
    assert statements.take() == []
    clock.now += 2
    assert catalogues.at(None) is held
    looked = statements.take()
    assert len(looked) == 1
    assert "document" not in looked[0]


def test_the_past_is_answered_with_the_catalogue_of_then(engine: Engine) -> None:
    first, second = publish(engine, FIRST), publish(engine, SECOND)
    catalogues = Catalogues(engine, 2, Clock())
    then = catalogues.at(first.published_at).catalogue.revision
    assert then == (first.revision if first.published_at < second.published_at else second.revision)
    assert catalogues.at(second.published_at).catalogue.revision == second.revision
    assert catalogues.at(second.published_at) is catalogues.at(second.published_at)


def test_threads_that_come_at_once_load_it_once(engine: Engine, statements: Statements) -> None:
    publish(engine, FIRST)
    catalogues = Catalogues(engine, 2, Clock())
    statements.take()
    found: list[object] = []
    threads = [Thread(target=lambda: found.append(catalogues.at(None))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 8
    assert len(set(map(id, found))) == 1
    assert sum("document" in statement for statement in statements.take()) == 1


def test_while_one_looks_the_others_go_on(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    """A database that does not answer holds up who looks, and nobody else."""
    clock = Clock()
    publish(engine, FIRST)
    catalogues = Catalogues(engine, 2, clock)
    held = catalogues.at(None)
    clock.now += 2
    looking, answers = Barrier(2, timeout=60), Event()

    def slowly(connection: Connection) -> int:
        looking.wait()
        assert answers.wait(60)
        return current_number(connection)

    current_number = revisions.current_number
    monkeypatch.setattr(revisions, "current_number", slowly)
    with ThreadPoolExecutor(1) as pool:
        looks = pool.submit(catalogues.at, None)
        looking.wait()
        assert catalogues.at(None) is held
        answers.set()
        assert looks.result() is held
