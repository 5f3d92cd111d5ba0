"""The tables. `events`, `event_subjects`, `bindings`, `catalogue_revisions`, `imported` and `sale_checks`
are write-once.

The database itself refuses to update or delete their rows (see the migrations). `boards`, `units` and
`vacancies` are a cache of the fold over the events, written in the same transaction: their columns are
what is asked for by value, `rest` is the remainder of the state as compact JSON, NULL where there is none.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    false,
    text,
)

from service.domain.ledger.fields import MAX_NAME
from service.store.types import EVENT_DATA, UtcDateTime

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)

NAME = String(MAX_NAME)

EVENTS = Table(
    "events",
    METADATA,
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("kind", String(32), nullable=False),
    Column("occurred_at", UtcDateTime, nullable=False),
    Column("recorded_at", UtcDateTime, nullable=False, index=True),
    Column("withdraws", Integer, ForeignKey("events.seq"), unique=True),
    Column("data", EVENT_DATA, nullable=False),
    CheckConstraint("seq >= 1", name="seq"),
    CheckConstraint("(kind = 'corrected') = (withdraws IS NOT NULL)", name="withdraws"),
    CheckConstraint("withdraws < seq", name="earlier"),
)
"""The ledger. `withdraws` is the event that a correction takes back; each at most once."""

EVENT_SUBJECTS = Table(
    "event_subjects",
    METADATA,
    Column("kind", String(8), primary_key=True),
    Column("serial", NAME, primary_key=True),
    Column("version", Integer, primary_key=True, autoincrement=False),
    Column("seq", Integer, ForeignKey("events.seq"), nullable=False),
    Index("uq_event_subjects_seq_kind_serial", "seq", "kind", "serial", unique=True),
    CheckConstraint("kind IN ('board', 'unit')", name="kind"),
    CheckConstraint("version >= 1", name="version"),
    sqlite_with_rowid=False,
)
"""Whom each event speaks of; `version` counts a subject's events from 1 without gaps."""

BINDINGS = Table(
    "bindings",
    METADATA,
    Column("board", NAME, primary_key=True),
    Column("epoch", Integer, primary_key=True, autoincrement=False),
    Column("model", NAME, nullable=False),
    Column("seq", Integer, nullable=False),
    ForeignKeyConstraint(["seq"], ["events.seq"]),
    CheckConstraint("epoch >= 1", name="epoch"),
    sqlite_with_rowid=False,
)
"""What a board is bound to, permanently, and by which event. Epoch n+1 needs epoch n corrected."""

IN_STOCK = "in_custody AND in_unit IS NULL AND NOT sold AND NOT held AND condition = 'usable'"
"""Whether a board can be taken from the shelf today. The indexes of the stock hold these boards alone, and
a database uses one only for a question that says the same words."""

BOARDS = Table(
    "boards",
    METADATA,
    Column("serial", NAME, primary_key=True),
    Column("version", Integer, nullable=False),
    Column("part", NAME),
    Column("binding", NAME),
    Column("condition", String(16)),
    Column("held_serial", NAME),
    Column("release", NAME),
    Column("in_unit", NAME, index=True),
    Column("role", NAME),
    Column("place", NAME, nullable=False),
    Column("donor", NAME),
    Column("partner", NAME),
    Column("in_custody", Boolean, nullable=False),
    Column("held", Boolean, nullable=False),
    Column("tested", Boolean, nullable=False, server_default=false()),
    Column("sold", Boolean, nullable=False, server_default=false()),
    Column("rest", Text),
    *(
        Index(name, *columns, sqlite_where=text(which), postgresql_where=text(which))
        for name, columns, which in (
            ("ix_boards_stock_binding", ("part", "binding", "tested", "serial"), IN_STOCK),
            ("ix_boards_stock_part", ("part", "tested", "serial"), IN_STOCK),
            ("ix_boards_stock_holder", ("held_serial", "serial"), f"{IN_STOCK} AND held_serial > ''"),
        )
    ),
    sqlite_with_rowid=False,
)
"""Boards now. `binding` is `blank` or a model where exactly that is known; `condition` likewise."""

UNITS = Table(
    "units",
    METADATA,
    Column("serial", NAME, primary_key=True),
    Column("version", Integer, nullable=False),
    Column("registered", Boolean, nullable=False),
    Column("in_service", Boolean, nullable=False),
    Column("model", NAME),
    Column("market", NAME),
    Column("made_on", String(10)),
    Column("held", Boolean, nullable=False),
    Column("rest", Text),
    sqlite_with_rowid=False,
)
"""Units now. `made_on` is an ISO 8601 day."""

VACANCIES = Table(
    "vacancies",
    METADATA,
    Column("role", NAME, primary_key=True),
    Column("unit", NAME, primary_key=True, index=True),
    Column("place", NAME, primary_key=True),
    sqlite_with_rowid=False,
)
"""Places of units in service that are recorded as emptied: who waits for a board of a role."""

CATALOGUE_REVISIONS = Table(
    "catalogue_revisions",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("revision", NAME, nullable=False, unique=True),
    Column("document", Text, nullable=False),
    Column("published_at", UtcDateTime, nullable=False, index=True),
    CheckConstraint("number >= 1", name="number"),
)
"""Published catalogues, numbered from 1 without gaps; the highest is in force."""

REPEATS = Table(
    "repeats",
    METADATA,
    Column("owner", NAME, primary_key=True),
    Column("method", String(8), primary_key=True),
    Column("path", String(200), primary_key=True),
    Column("key", NAME, primary_key=True),
    Column("fingerprint", NAME, nullable=False),
    Column("answer", Text, nullable=False),
    Column("answered_at", UtcDateTime, nullable=False, index=True),
    sqlite_with_rowid=False,
)
"""First answers by request, each kept for two days."""

KEYS = Table(
    "keys",
    METADATA,
    Column("id", String(8), primary_key=True),
    Column("digest", String(64), nullable=False),
    Column("owner", NAME, nullable=False),
    Column("scopes", String(100), nullable=False),
    Column("public", Boolean, nullable=False),
    Column("rate", Integer, nullable=False),
    Column("made_at", UtcDateTime, nullable=False),
    Column("expires_at", UtcDateTime),
    Column("revoked_at", UtcDateTime),
    Column("changed", Integer, nullable=False, unique=True),
    CheckConstraint("rate >= 1", name="rate"),
    CheckConstraint("NOT public OR scopes = 'ask'", name="public_asks_only"),
)
"""Who may ask. `digest` is the SHA-256 of the secret in hexadecimal, `scopes` are separated by commas,
`changed` is the number of the last change to any key that this row has seen."""

RATE_COUNTS = Table(
    "rate_counts",
    METADATA,
    Column("name", String(100), primary_key=True),
    Column("hits", Integer, nullable=False),
    Column("ends_at", Integer, nullable=False),
    sqlite_with_rowid=False,
)
"""Requests in the running minute of each key, where processes share the count. `ends_at`: Unix seconds."""

IMPORTED = Table(
    "imported",
    METADATA,
    Column("mark", String(64), primary_key=True),
    Column("seq", Integer, ForeignKey("events.seq"), nullable=False),
    sqlite_with_rowid=False,
)
"""Lines of files that were taken in: the SHA-256 of what each says, and its first event."""

SALE_CHECKS = Table(
    "sale_checks",
    METADATA,
    Column("id", String(32), primary_key=True),
    Column("owner", NAME, nullable=False),
    Column("made_at", UtcDateTime, nullable=False),
    Column("seq", Integer, ForeignKey("events.seq"), nullable=False),
    Column("as_of", UtcDateTime),
    Column("board", NAME, nullable=False),
    Column("unit", NAME),
    Column("decision", String(32), nullable=False),
    Column("revision", NAME, nullable=False),
    Column("ledger_version", Integer, nullable=False),
    Column("question", Text, nullable=False),
    Column("answer", Text, nullable=False),
    Column("read_set", Text, nullable=False),
    sqlite_with_rowid=False,
)
"""Answers of the till, exactly as they were given. `seq` is the event that tells of the check; `question`,
`answer` and `read_set` (versions, and what was not there) are JSON."""

WRITE_ONCE = (EVENTS, EVENT_SUBJECTS, BINDINGS, CATALOGUE_REVISIONS, IMPORTED, SALE_CHECKS)
