"""On PostgreSQL the service's role can add to the ledger and cannot change it, whatever the triggers say."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import URL, Engine, inspect, text
from sqlalchemy.exc import DBAPIError

from service.api.calling import EXTENSION
from service.api.document.examples import kept
from service.cli.main import main
from service.demo.asking import asked
from service.demo.keys import STAFF_KEY
from service.demo.making import fill
from service.settings import Settings
from service.store.engine import reading, snapshot, writing
from service.store.grants import CHANGE, READ, RIGHTS, NoSuchRole, TooMuch, excess, grant
from service.store.migrate import NotTheOwner, to_head
from service.store.rebuild import rebuild
from service.store.tables import METADATA, WRITE_ONCE
from service.store.verifying import verified
from service.wiring import app_on
from tests.support.databases import opened
from tests.support.roles import Roles, two_roles

REFUSED = "42501"
"""SQLSTATE insufficient_privilege: PostgreSQL refuses before any trigger is asked."""


@pytest.fixture(scope="module")
def roles(postgres_server: URL) -> Iterator[Roles]:
    """The demo's world, made by the owner and opened to the service."""
    with two_roles(postgres_server) as made:
        with opened(made.owner) as owner:
            to_head(owner)
            fill(owner)
            with writing(owner) as connection:
                grant(connection, made.service_name)
        yield made


@pytest.fixture(scope="module")
def service(roles: Roles) -> Iterator[Engine]:
    with opened(roles.service) as engine:
        yield engine


@pytest.fixture
def bare(postgres_server: URL) -> Iterator[Roles]:
    """The same without any table."""
    with two_roles(postgres_server) as made:
        yield made


def refusal(engine: Engine, statement: str) -> str:
    with pytest.raises(DBAPIError) as refused, writing(engine) as connection:
        connection.execute(text(statement))
    return str(getattr(refused.value.orig, "sqlstate", None))


@pytest.mark.parametrize("table", sorted(name for name, rights in RIGHTS.items() if rights != CHANGE))
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {0} SET {1} = {1}",
        "UPDATE {0} SET {1} = {1} WHERE FALSE",
        "DELETE FROM {0}",
        "TRUNCATE {0} CASCADE",
        "SELECT * FROM {0} FOR UPDATE",
    ],
)
def test_what_was_recorded_cannot_be_changed_by_right(service: Engine, table: str, statement: str) -> None:
    column = "version_num" if table == "alembic_version" else METADATA.tables[table].columns.keys()[0]
    assert refusal(service, statement.format(table, column)) == REFUSED


@pytest.mark.parametrize("table", sorted(name for name, rights in RIGHTS.items() if rights == READ))
def test_versions_catalogues_and_keys_are_the_owners(service: Engine, table: str) -> None:
    assert refusal(service, f"INSERT INTO {table} DEFAULT VALUES") == REFUSED


@pytest.mark.parametrize("table", sorted(RIGHTS))
def test_no_table_can_be_emptied_whole_altered_or_dropped(service: Engine, table: str) -> None:
    for statement in ("TRUNCATE {}", "DROP TABLE {}", "ALTER TABLE {} DISABLE TRIGGER ALL"):
        assert refusal(service, statement.format(table)) == REFUSED


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TRIGGER events_refuse_change ON events",
        "CREATE TRIGGER mine BEFORE INSERT ON events EXECUTE FUNCTION refuse_change()",
        "CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN END'",
        "DROP FUNCTION refuse_change() CASCADE",
        "SET session_replication_role = replica",
        "CREATE TABLE mine (id integer)",
        "CREATE SCHEMA mine",
        "CREATE ROLE mine",
        "COPY events TO PROGRAM 'true'",
        "SET ROLE pg_database_owner",
    ],
)
def test_neither_can_tables_triggers_and_rights(service: Engine, statement: str) -> None:
    assert refusal(service, statement) == REFUSED


def test_it_cannot_give_itself_more(service: Engine) -> None:
    """PostgreSQL only warns where nothing can be given; what counts is that nothing was."""
    with writing(service) as connection:
        connection.execute(text("GRANT UPDATE ON events TO CURRENT_USER"))
        assert excess(connection, str(service.url.username)) == []


def test_of_every_table_it_is_known_what_the_service_may_do(roles: Roles) -> None:
    assert set(RIGHTS) == {*METADATA.tables, "alembic_version"}
    with opened(roles.owner) as owner:
        assert inspect(owner).get_sequence_names() == []
        with reading(owner) as connection:
            granted = text(
                "SELECT table_name, privilege_type FROM information_schema.role_table_grants "
                "WHERE grantee = :who"
            )
            held = connection.execute(granted, {"who": roles.service_name}).all()
    assert sorted(held) == sorted((name, right) for name, rights in RIGHTS.items() for right in rights)
    assert all(RIGHTS[table.name] != CHANGE for table in WRITE_ONCE)


def test_the_whole_service_works_with_no_more_than_that(roles: Roles) -> None:
    """Every operation's examples, those that write too, answered as on a database that is ours."""
    settings = Settings(database_url=roles.service, rate_store="database")
    with opened(roles.service) as engine:
        to_head(engine)
        app = app_on(engine, settings)
        client = app.test_client()
        client.environ_base["HTTP_AUTHORIZATION"] = f"Bearer {STAFF_KEY}"
        assert asked(client) == kept()
        app.extensions[EXTENSION].reader.close()
        with snapshot(engine) as connection:
            assert list(verified(connection)) == []
        with writing(engine) as connection:
            rebuild(connection)


def test_granting_again_takes_back_what_is_too_much(bare: Roles) -> None:
    with opened(bare.owner) as owner:
        to_head(owner)
        with writing(owner) as connection:
            connection.execute(text("GRANT CREATE ON SCHEMA public TO PUBLIC"))
            connection.execute(text("GRANT ALL ON events, keys TO PUBLIC"))
            connection.execute(text(f"GRANT ALL ON sale_checks TO {bare.service_name}"))
            assert len(excess(connection, bare.service_name)) > len(RIGHTS)
            grant(connection, bare.service_name)
            assert excess(connection, bare.service_name) == []


def test_a_role_that_may_more_by_what_it_is_is_refused(bare: Roles, postgres_server: URL) -> None:
    with opened(bare.owner) as owner:
        to_head(owner)
        with pytest.raises(TooMuch, match=f"may act as {bare.owner_name}"), writing(owner) as connection:
            grant(connection, bare.owner_name)
        with pytest.raises(TooMuch, match="superuser"), writing(owner) as connection:
            grant(connection, str(postgres_server.username))
        with reading(owner) as connection:
            assert excess(connection, bare.service_name) == []


@pytest.mark.parametrize("role", ["nobody_of_this_name", 'no"body', "public"])
def test_a_role_that_is_not_there_is_told(bare: Roles, role: str) -> None:
    with opened(bare.owner) as owner:
        to_head(owner)
        with pytest.raises(NoSuchRole, match="has no role"), writing(owner) as connection:
            grant(connection, role)


def test_the_service_cannot_migrate_and_says_who_has_to(bare: Roles) -> None:
    with opened(bare.service) as service:
        with pytest.raises(NotTheOwner, match="let their owner run 'migrate"):
            to_head(service)
        with opened(bare.owner) as owner:
            to_head(owner)
        with pytest.raises(NotTheOwner):
            to_head(service)
        with pytest.raises(DBAPIError, match="permission denied"), writing(service) as connection:
            grant(connection, bare.service_name)


def test_the_command_migrates_and_grants(
    bare: Roles, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", bare.owner)
    assert main(["migrate", "--grant-to", bare.service_name]) == 0
    assert main(["migrate", "--grant-to", bare.service_name]) == 0
    told = capsys.readouterr()
    assert told.out.count("may serve them") == 2
    assert main(["migrate", "--grant-to", "nobody_of_this_name"]) == 2
    assert "has no role nobody_of_this_name" in capsys.readouterr().err
    monkeypatch.setenv("BOARDFIT_DATABASE_URL", bare.service)
    assert main(["migrate"]) == 0
    assert main(["keys", "make", "till", "--scope", "ask"]) == 2
    assert "error: the database refuses: permission denied for table keys" in capsys.readouterr().err


def test_a_file_has_no_roles(sqlite_engine: Engine) -> None:
    with pytest.raises(NoSuchRole, match="no roles"), writing(sqlite_engine) as connection:
        grant(connection, "service")
