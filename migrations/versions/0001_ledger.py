"""The ledger, its state tables and the catalogue's revisions."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects import postgresql

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

NAME = sa.String(64)
MOMENT = sa.DateTime(timezone=True)
DATA = sa.JSON().with_variant(postgresql.JSONB(), "postgresql")


def upgrade() -> None:
    _ledger()
    _states()
    _catalogue()
    if op.get_bind().dialect.name == "postgresql":
        _guard_postgresql()
    else:
        _guard_sqlite()


def downgrade() -> None:
    """There is no way back from here: it would throw the ledger away."""
    raise NotImplementedError("the ledger is never dropped")


def _ledger() -> None:
    op.create_table(
        "events",
        sa.Column("seq", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("kind", sa.String(32), nullable=False),
        sa.Column("occurred_at", MOMENT, nullable=False),
        sa.Column("recorded_at", MOMENT, nullable=False),
        sa.Column("withdraws", sa.Integer),
        sa.Column("data", DATA, nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_events"),
        sa.ForeignKeyConstraint(["withdraws"], ["events.seq"], name="fk_events_withdraws"),
        sa.UniqueConstraint("withdraws", name="uq_events_withdraws"),
        sa.CheckConstraint("seq >= 1", name="ck_events_seq"),
        sa.CheckConstraint("(kind = 'corrected') = (withdraws IS NOT NULL)", name="ck_events_withdraws"),
        sa.CheckConstraint("withdraws < seq", name="ck_events_earlier"),
    )
    op.create_index("ix_events_recorded_at", "events", ["recorded_at"])
    op.create_table(
        "event_subjects",
        sa.Column("kind", sa.String(8), nullable=False),
        sa.Column("serial", NAME, nullable=False),
        sa.Column("version", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("kind", "serial", "version", name="pk_event_subjects"),
        sa.ForeignKeyConstraint(["seq"], ["events.seq"], name="fk_event_subjects_seq"),
        sa.CheckConstraint("kind IN ('board', 'unit')", name="ck_event_subjects_kind"),
        sa.CheckConstraint("version >= 1", name="ck_event_subjects_version"),
        sqlite_with_rowid=False,
    )
    subject = ["seq", "kind", "serial"]
    op.create_index("uq_event_subjects_seq_kind_serial", "event_subjects", subject, unique=True)
    op.create_table(
        "bindings",
        sa.Column("board", NAME, nullable=False),
        sa.Column("epoch", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("model", NAME, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("board", "epoch", name="pk_bindings"),
        sa.ForeignKeyConstraint(["seq"], ["events.seq"], name="fk_bindings_seq"),
        sa.CheckConstraint("epoch >= 1", name="ck_bindings_epoch"),
        sqlite_with_rowid=False,
    )


def _states() -> None:
    op.create_table(
        "boards",
        sa.Column("serial", NAME, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("part", NAME),
        sa.Column("binding", NAME),
        sa.Column("condition", sa.String(16)),
        sa.Column("held_serial", NAME),
        sa.Column("release", sa.Integer),
        sa.Column("in_unit", NAME),
        sa.Column("role", NAME),
        sa.Column("place", NAME, nullable=False),
        sa.Column("donor", NAME),
        sa.Column("partner", NAME),
        sa.Column("in_custody", sa.Boolean, nullable=False),
        sa.Column("held", sa.Boolean, nullable=False),
        sa.Column("rest", sa.Text),
        sa.PrimaryKeyConstraint("serial", name="pk_boards"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_boards_in_unit", "boards", ["in_unit"])
    op.create_table(
        "units",
        sa.Column("serial", NAME, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("registered", sa.Boolean, nullable=False),
        sa.Column("in_service", sa.Boolean, nullable=False),
        sa.Column("model", NAME),
        sa.Column("market", NAME),
        sa.Column("made_on", sa.String(10)),
        sa.Column("held", sa.Boolean, nullable=False),
        sa.Column("rest", sa.Text),
        sa.PrimaryKeyConstraint("serial", name="pk_units"),
        sqlite_with_rowid=False,
    )


def _catalogue() -> None:
    op.create_table(
        "catalogue_revisions",
        sa.Column("number", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("revision", NAME, nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.Column("published_at", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_catalogue_revisions"),
        sa.UniqueConstraint("revision", name="uq_catalogue_revisions_revision"),
        sa.CheckConstraint("number >= 1", name="ck_catalogue_revisions_number"),
    )
    op.create_index("ix_catalogue_revisions_published_at", "catalogue_revisions", ["published_at"])


KEYS = {
    "events": ("withdraws = NEW.withdraws",),
    "event_subjects": (
        "kind = NEW.kind AND serial = NEW.serial AND version = NEW.version",
        "seq = NEW.seq AND kind = NEW.kind AND serial = NEW.serial",
    ),
    "bindings": ("board = NEW.board AND epoch = NEW.epoch",),
    "catalogue_revisions": ("revision = NEW.revision",),
}
"""Write-once tables, and the keys by which a new row could displace an old one; numbers see below."""

NUMBERED = {"events": "seq", "catalogue_revisions": "number"}
"""Columns that count from 1 without gaps, so a number that is taken is refused as well."""

EPOCH_IS_RIGHT = """
    NEW.epoch = 1 OR EXISTS (
        SELECT 1 FROM bindings AS earlier JOIN events AS correction ON correction.withdraws = earlier.seq
        WHERE earlier.board = NEW.board AND earlier.epoch = NEW.epoch - 1
    )
"""
"""Epoch n+1 exists only beside a correction that withdraws the event of epoch n."""


def _gap(table: str, column: str) -> str:
    """Whether a new row leaves a gap."""
    return f"NEW.{column} <> (SELECT coalesce(max({column}), 0) + 1 FROM {table})"  # noqa: S608 - the names are those above


def _guard_sqlite() -> None:
    for table, keys in KEYS.items():
        for action in ("UPDATE", "DELETE"):
            _sqlite_trigger(table, action, "TRUE", f"{table} is write-once")
        # REPLACE deletes the row in its way without a word to the triggers of DELETE: refuse it before.
        for number, key in enumerate(keys):
            there = f"EXISTS (SELECT 1 FROM {table} WHERE {key})"  # noqa: S608 - the names are those above
            _sqlite_trigger(table, "INSERT", there, f"{table} is write-once", name=f"key_{number}")
    for table, column in NUMBERED.items():
        _sqlite_trigger(table, "INSERT", _gap(table, column), f"{table} has no gaps", name="gap")
    uncorrected = "the binding is permanent until it is corrected"
    _sqlite_trigger("bindings", "INSERT", f"NOT ({EPOCH_IS_RIGHT})", uncorrected, name="epoch")


def _sqlite_trigger(table: str, action: str, when: str, message: str, name: str = "") -> None:
    title = "_".join(part for part in (table, "no", action.lower(), name) if part)
    op.execute(
        f"CREATE TRIGGER {title} BEFORE {action} ON {table} WHEN {when} "
        f"BEGIN SELECT RAISE(ABORT, '{message}'); END"
    )


def _guard_postgresql() -> None:
    op.execute("""
        CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
        BEGIN
            RAISE EXCEPTION '% is write-once', TG_TABLE_NAME USING ERRCODE = 'integrity_constraint_violation';
        END $$
    """)
    for table in KEYS:
        _postgresql_trigger(table, "UPDATE OR DELETE OR TRUNCATE", "STATEMENT", "refuse_change")
    for table, column in NUMBERED.items():
        _postgresql_function(
            f"refuse_gap_in_{table}",
            _gap(table, column),
            f"{table} has no gaps",
        )
        _postgresql_trigger(table, "INSERT", "ROW", f"refuse_gap_in_{table}")
    _postgresql_function(
        "refuse_uncorrected_binding",
        f"NOT ({EPOCH_IS_RIGHT})",
        "the binding is permanent until it is corrected",
    )
    _postgresql_trigger("bindings", "INSERT", "ROW", "refuse_uncorrected_binding")


def _postgresql_function(name: str, condition: str, message: str) -> None:
    op.execute(f"""
        CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$
        BEGIN
            IF {condition} THEN
                RAISE EXCEPTION '{message}' USING ERRCODE = 'integrity_constraint_violation';
            END IF;
            RETURN NEW;
        END $$
    """)


def _postgresql_trigger(table: str, action: str, level: str, function: str) -> None:
    """ENABLE ALWAYS: a session that plays replica skips no trigger of ours."""
    name = f"{table}_{function}"
    op.execute(
        f"CREATE TRIGGER {name} BEFORE {action} ON {table} FOR EACH {level} EXECUTE FUNCTION {function}()"
    )
    op.execute(f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}")
