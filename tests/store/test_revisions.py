"""Catalogue revisions: once, for ever, and in order."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import Engine

from service.store.engine import reading, writing
from service.store.revisions import Revision, RevisionTaken, at, current, current_number, publish
from service.store.tables import CATALOGUE_REVISIONS


def put(engine: Engine, document: str, revision: str) -> Revision:
    with writing(engine) as connection:
        return publish(connection, document, revision)


def test_before_the_first_there_is_none(engine: Engine) -> None:
    with reading(engine) as connection:
        assert current(connection) is None
        assert current_number(connection) == 0


def test_the_last_published_is_in_force(engine: Engine) -> None:
    first, second = put(engine, "one", "r-1"), put(engine, "two", "r-2")
    with reading(engine) as connection:
        assert current(connection) == second
        assert current_number(connection) == second.number == first.number + 1 == 2


def test_the_same_content_twice_is_the_same_revision(engine: Engine) -> None:
    first = put(engine, "one", "r-1")
    put(engine, "two", "r-2")
    assert put(engine, "one", "r-1") == first
    with reading(engine) as connection:
        assert current_number(connection) == 2


def test_an_identifier_is_never_given_to_another_text(engine: Engine) -> None:
    put(engine, "one", "r-1")
    with pytest.raises(RevisionTaken):
        put(engine, "two", "r-1")
    with reading(engine) as connection:
        assert current_number(connection) == 1


def test_at_a_moment_the_revision_then_in_force(engine: Engine) -> None:
    first, second = put(engine, "one", "r-1"), put(engine, "two", "r-2")
    with reading(engine) as connection:
        assert at(connection, first.published_at - timedelta(microseconds=1)) is None
        assert at(connection, second.published_at) == second
        between = second.published_at - timedelta(microseconds=1)
        assert at(connection, between) == (first if first.published_at <= between else None)


def test_a_clock_that_was_set_back_does_not_reorder_revisions(engine: Engine) -> None:
    ahead = datetime.now(UTC) + timedelta(days=1)
    with writing(engine) as connection:
        early = CATALOGUE_REVISIONS.insert()
        connection.execute(early.values(number=1, revision="r-1", document="one", published_at=ahead))
    assert put(engine, "two", "r-2").published_at == ahead
    with reading(engine) as connection:
        found = at(connection, ahead)
    assert found is not None
    assert found.number == 2


def test_several_who_publish_at_once_give_numbers_without_gaps(engine: Engine) -> None:
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda which: put(engine, f"text {which % 3}", f"r-{which % 3}"), range(8)))
    assert {revision.number for revision in found} == {1, 2, 3}
    with reading(engine) as connection:
        assert current_number(connection) == 3


def test_a_long_document_with_every_letter_comes_back(engine: Engine) -> None:
    document = "Mähwerk ⚠ 芝\n" * 20_000
    put(engine, document, "r-1")
    with reading(engine) as connection:
        found = current(connection)
    assert found is not None
    assert found.document == document
