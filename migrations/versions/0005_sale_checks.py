"""Sale checks as they were answered."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

NAME = sa.String(64)
MOMENT = sa.DateTime(timezone=True)


def upgrade() -> None:
    op.create_table(
        "sale_checks",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("owner", NAME, nullable=False),
        sa.Column("made_at", MOMENT, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("as_of", MOMENT),
        sa.Column("board", NAME, nullable=False),
        sa.Column("unit", NAME),
        sa.Column("decision", sa.String(32), nullable=False),
        sa.Column("revision", NAME, nullable=False),
        sa.Column("ledger_version", sa.Integer, nullable=False),
        sa.Column("question", sa.Text, nullable=False),
        sa.Column("answer", sa.Text, nullable=False),
        sa.Column("read_set", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sale_checks"),
        sa.ForeignKeyConstraint(["seq"], ["events.seq"], name="fk_sale_checks_seq"),
        sqlite_with_rowid=False,
    )
    if op.get_bind().dialect.name == "postgresql":
        _guard_postgresql()
    else:
        _guard_sqlite()


def downgrade() -> None:
    """There is no way back from here."""
    raise NotImplementedError("the ledger is never dropped")


def _guard_sqlite() -> None:
    # REPLACE deletes the row in its way without a word to the triggers of DELETE: refuse it before.
    there = "EXISTS (SELECT 1 FROM sale_checks WHERE id = NEW.id)"
    for action, when in (("UPDATE", "TRUE"), ("DELETE", "TRUE"), ("INSERT", there)):
        op.execute(
            f"CREATE TRIGGER sale_checks_no_{action.lower()} BEFORE {action} ON sale_checks WHEN {when} "
            "BEGIN SELECT RAISE(ABORT, 'sale_checks is write-once'); END"
        )


def _guard_postgresql() -> None:
    """ENABLE ALWAYS: a session that plays replica skips no trigger of ours."""
    op.execute(
        "CREATE TRIGGER sale_checks_refuse_change BEFORE UPDATE OR DELETE OR TRUNCATE ON sale_checks "
        "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()"
    )
    op.execute("ALTER TABLE sale_checks ENABLE ALWAYS TRIGGER sale_checks_refuse_change")
