"""Which units wait for a board: places recorded as emptied, of units in service.

The table is a cache of the units' states, brought up to date with their rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any, NamedTuple

from sqlalchemy import Connection, Delete, Select, bindparam, delete, insert, select, tuple_

from service.domain.facts.records import UnitRecord
from service.domain.place import Place
from service.domain.terms import RoleId, Serial
from service.store.among import among, bound_set
from service.store.tables import VACANCIES


class Vacancy(NamedTuple):
    """A place that waits for a board. Vacancies are listed in this order."""

    role: RoleId
    unit: Serial
    name: str = ""
    """The name of the place; empty for a role with a single one."""

    @property
    def place(self) -> Place:
        return Place(self.role, self.name)


def vacancies_of(unit: UnitRecord) -> list[Vacancy]:
    """The places of a unit that wait for a board; none of one that is out of service."""
    emptied = sorted(unit.emptied) if unit.in_service else ()
    return [Vacancy(role, unit.serial, name) for role, name in emptied]


def keep_vacancies(connection: Connection, units: Sequence[UnitRecord]) -> None:
    """Bring the rows of these units up to date."""
    if not units:
        return
    dialect = connection.dialect.name
    connection.execute(_of_units(dialect), {"units": bound_set([unit.serial for unit in units], dialect)})
    rows = [
        {"role": each.role, "unit": each.unit, "place": each.name}
        for unit in units
        for each in vacancies_of(unit)
    ]
    if rows:
        connection.execute(insert(VACANCIES), rows)


def vacancies(
    connection: Connection, roles: Sequence[RoleId], after: Vacancy | None, limit: int
) -> list[Vacancy]:
    """The next vacancies of some roles, in order; after one of them, else from the first."""
    bound = {**(after or Vacancy(RoleId(""), Serial("")))._asdict(), "limit": limit}
    dialect = connection.dialect.name
    rows = connection.execute(_after(dialect), {**bound, "roles": bound_set(roles, dialect)}).all()
    return [Vacancy(*row) for row in rows]


@cache
def _of_units(dialect: str) -> Delete:
    return delete(VACANCIES).where(among(VACANCIES.c.unit, "units", dialect))


@cache
def _after(dialect: str) -> Select[Any]:
    key = (VACANCIES.c.role, VACANCIES.c.unit, VACANCIES.c.place)
    after = tuple_(bindparam("role"), bindparam("unit"), bindparam("name"))
    chosen = select(*key).where(among(VACANCIES.c.role, "roles", dialect), tuple_(*key) > after)
    return chosen.order_by(*key).limit(bindparam("limit"))
