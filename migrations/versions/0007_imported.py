"""Lines of files that were imported."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "imported",
        sa.Column("mark", sa.String(64), nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("mark", name="pk_imported"),
        sa.ForeignKeyConstraint(["seq"], ["events.seq"], name="fk_imported_seq"),
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
    there = "EXISTS (SELECT 1 FROM imported WHERE mark = NEW.mark)"
    for action, when in (("UPDATE", "TRUE"), ("DELETE", "TRUE"), ("INSERT", there)):
        op.execute(
            f"CREATE TRIGGER imported_no_{action.lower()} BEFORE {action} ON imported WHEN {when} "
            "BEGIN SELECT RAISE(ABORT, 'imported is write-once'); END"
        )


def _guard_postgresql() -> None:
    """ENABLE ALWAYS: a session that plays replica skips no trigger of ours."""
    op.execute(
        "CREATE TRIGGER imported_refuse_change BEFORE UPDATE OR DELETE OR TRUNCATE ON imported "
        "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()"
    )
    op.execute("ALTER TABLE imported ENABLE ALWAYS TRIGGER imported_refuse_change")
