"""Releases by name, and what a sale and a test leave behind."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """A position means nothing without the list of its day, so no name is made up for those that are kept:
    the release of such a board is unknown until it is read again."""
    op.drop_column("boards", "release")
    op.add_column("boards", sa.Column("release", sa.String(64)))
    for name in ("tested", "sold"):
        op.add_column("boards", sa.Column(name, sa.Boolean, nullable=False, server_default=sa.false()))


def downgrade() -> None:
    """There is no way back from here."""
    raise NotImplementedError("the ledger is never dropped")
