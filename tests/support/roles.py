"""Two roles on PostgreSQL: one owns a database's tables, the other one serves them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple
from uuid import uuid4

from sqlalchemy import URL, create_engine, make_url, text

from tests.support.databases import new_database, url_of


class Roles(NamedTuple):
    """URLs of one database."""

    owner: str
    """May make tables."""
    service: str
    """May do nothing, until it is granted something."""

    @property
    def service_name(self) -> str:
        return str(make_url(self.service).username)

    @property
    def owner_name(self) -> str:
        return str(make_url(self.owner).username)


@contextmanager
def two_roles(server: URL) -> Iterator[Roles]:
    """A database without tables and two roles; all of it is gone at the end."""
    mark = uuid4().hex
    names = [f"{part}_{mark}" for part in ("owner", "service")]
    with new_database(server) as database:
        for name in names:
            _administer(server, f"CREATE ROLE {name} LOGIN PASSWORD '{mark}'")
        _administer(server, f"ALTER DATABASE {database} OWNER TO {names[0]}")
        url = make_url(url_of(server, database))
        yield Roles(*(_rendered(url, name, mark) for name in names))
        _administer(server, f"ALTER DATABASE {database} OWNER TO CURRENT_USER")
        # What the roles own and were given in the database goes with it.
    for name in names:
        _administer(server, f"DROP ROLE {name}")


def _rendered(url: URL, name: str, password: str) -> str:
    return url.set(username=name, password=password).render_as_string(hide_password=False)


def _administer(server: URL, statement: str) -> None:
    engine = create_engine(server, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(statement))
    engine.dispose()
