"""Stock and vacancies, found without looking at every board."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

NAME = sa.String(64)
IN_STOCK = "in_custody AND in_unit IS NULL AND NOT sold AND NOT held AND condition = 'usable'"
"""Boards that can be taken from the shelf today."""


def upgrade() -> None:
    _index("ix_boards_stock_binding", ["part", "binding", "tested", "serial"], IN_STOCK)
    _index("ix_boards_stock_part", ["part", "tested", "serial"], IN_STOCK)
    _index("ix_boards_stock_holder", ["held_serial", "serial"], f"{IN_STOCK} AND held_serial > ''")
    op.create_table(
        "vacancies",
        sa.Column("role", NAME, nullable=False),
        sa.Column("unit", NAME, nullable=False),
        sa.Column("place", NAME, nullable=False),
        sa.PrimaryKeyConstraint("role", "unit", "place", name="pk_vacancies"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_vacancies_unit", "vacancies", ["unit"])
    _fill()


def downgrade() -> None:
    """There is no way back from here."""
    raise NotImplementedError("the ledger is never dropped")


def _index(name: str, columns: list[str], which: str) -> None:
    op.create_index(name, "boards", columns, sqlite_where=sa.text(which), postgresql_where=sa.text(which))


def _fill() -> None:
    """What stands in the state of units already: pairs of role and place, under `emptied`."""
    if op.get_bind().dialect.name == "postgresql":
        emptied = "jsonb_array_elements(units.rest::jsonb -> 'emptied') AS emptied(place)"
        role, place = "emptied.place ->> 0", "emptied.place ->> 1"
    else:
        emptied = "json_each(units.rest, '$.emptied') AS emptied"
        role, place = "json_extract(emptied.value, '$[0]')", "json_extract(emptied.value, '$[1]')"
    op.execute(
        f"INSERT INTO vacancies (role, unit, place) SELECT {role}, units.serial, {place} "  # noqa: S608 - the names are those above
        f"FROM units, {emptied} WHERE units.in_service"
    )
