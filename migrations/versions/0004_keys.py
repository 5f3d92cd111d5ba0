"""Keys, and what each was used for lately."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

MOMENT = sa.DateTime(timezone=True)


def upgrade() -> None:
    _keys()
    _rate_counts()


def downgrade() -> None:
    """There is no way back from here."""
    raise NotImplementedError("the ledger is never dropped")


def _keys() -> None:
    op.create_table(
        "keys",
        sa.Column("id", sa.String(8), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("owner", sa.String(64), nullable=False),
        sa.Column("scopes", sa.String(100), nullable=False),
        sa.Column("public", sa.Boolean, nullable=False),
        sa.Column("rate", sa.Integer, nullable=False),
        sa.Column("made_at", MOMENT, nullable=False),
        sa.Column("expires_at", MOMENT),
        sa.Column("revoked_at", MOMENT),
        sa.Column("changed", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_keys"),
        sa.UniqueConstraint("changed", name="uq_keys_changed"),
        sa.CheckConstraint("rate >= 1", name="ck_keys_rate"),
        sa.CheckConstraint("NOT public OR scopes = 'ask'", name="ck_keys_public_asks_only"),
    )


def _rate_counts() -> None:
    """On PostgreSQL outside of its log: a count that a crash loses is a minute's matter."""
    unlogged = ["UNLOGGED"] if op.get_bind().dialect.name == "postgresql" else []
    op.create_table(
        "rate_counts",
        sa.Column("name", sa.String(100), nullable=False),
        sa.Column("hits", sa.Integer, nullable=False),
        sa.Column("ends_at", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_rate_counts"),
        prefixes=unlogged,
        sqlite_with_rowid=False,
    )
