"""Whether a ledger is sound: asked of the tables in plain SQL, so that no code of the store is believed."""

from __future__ import annotations

from sqlalchemy import Engine, text

from service.store.engine import reading, writing
from service.store.rebuild import rebuild
from tests.store.ledgers import state_tables

UNSOUND = {
    "numbers have gaps": "SELECT count(*) - max(seq) FROM events HAVING count(*) <> max(seq)",
    "recorded before the one below it": (
        "SELECT b.seq FROM events a JOIN events b ON b.seq = a.seq + 1 WHERE b.recorded_at < a.recorded_at"
    ),
    "an event of nobody": "SELECT seq FROM events WHERE seq NOT IN (SELECT seq FROM event_subjects)",
    "versions have gaps": (
        "SELECT kind, serial FROM event_subjects GROUP BY kind, serial "
        "HAVING count(*) <> max(version) OR min(version) <> 1"
    ),
    "versions run against the numbers": (
        "SELECT b.seq FROM event_subjects a JOIN event_subjects b "
        "ON b.kind = a.kind AND b.serial = a.serial AND b.version = a.version + 1 WHERE b.seq <= a.seq"
    ),
    "an epoch whose predecessor stands": (
        "SELECT b.board FROM bindings b LEFT JOIN bindings a ON a.board = b.board AND a.epoch = b.epoch - 1 "
        "LEFT JOIN events c ON c.withdraws = a.seq WHERE b.epoch > 1 AND c.seq IS NULL"
    ),
    "a binding by an event of others": (
        "SELECT b.board FROM bindings b LEFT JOIN event_subjects s "
        "ON s.kind = 'board' AND s.serial = b.board AND s.seq = b.seq WHERE s.seq IS NULL"
    ),
}


def faults(engine: Engine) -> list[str]:
    """What is unsound about a ledger at rest; nothing where all is well."""
    with reading(engine) as connection:
        found = {fault: connection.execute(text(asked)).all() for fault, asked in UNSOUND.items()}
    told = [f"{fault}: {rows[:3]}" for fault, rows in found.items() if rows]
    kept = state_tables(engine)
    with writing(engine) as connection:
        rebuild(connection)
    return (
        told if state_tables(engine) == kept else [*told, "the state tables are not the fold of the events"]
    )
