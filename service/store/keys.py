"""Keys: who may ask, and for what. The store has a digest of each secret and never the secret.

A key is never deleted and its secret never changes; what changes is when it ends. `changed` counts every
change over all keys, so one number tells whether anything happened.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, func, insert, select, update

from service.store.lock import database_time, take_write_lock
from service.store.tables import KEYS


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key, without its secret."""

    id: str
    digest: bytes
    """The SHA-256 of the secret."""
    owner: str
    """Which system or counter it is for; never a person."""
    scopes: tuple[str, ...]
    public: bool
    """It sees nothing of the ledger."""
    rate: int
    """Requests a minute."""
    made_at: datetime
    expires_at: datetime | None = None
    revoked_at: datetime | None = None

    def ended_at(self) -> datetime | None:
        """The moment from which it is good for nothing; None for one that never ends by itself."""
        ends = [moment for moment in (self.expires_at, self.revoked_at) if moment is not None]
        return min(ends, default=None)


State = tuple[int, int]
"""Differs whenever the keys do: the last change, and how many there are."""


def add(connection: Connection, key: Key) -> None:
    """Enter a new key. The connection is one of `engine.writing`."""
    connection.execute(
        insert(KEYS).values(
            id=key.id,
            digest=key.digest.hex(),
            owner=key.owner,
            scopes=",".join(key.scopes),
            public=key.public,
            rate=key.rate,
            made_at=key.made_at,
            expires_at=key.expires_at,
            revoked_at=key.revoked_at,
            changed=_next_change(connection),
        )
    )


def end(
    connection: Connection,
    key_id: str,
    *,
    expires_at: datetime | None = None,
    revoked_at: datetime | None = None,
) -> None:
    """Let a key end. The connection is one of `engine.writing`."""
    moments = {"expires_at": expires_at, "revoked_at": revoked_at}
    told = {name: moment for name, moment in moments.items() if moment is not None}
    changed = _next_change(connection)
    connection.execute(update(KEYS).where(KEYS.c.id == key_id).values(changed=changed, **told))


def all_keys(connection: Connection) -> Sequence[Key]:
    """Every key, those that ended too, by owner and in the order in which they were made."""
    chosen = select(KEYS).order_by(KEYS.c.owner, KEYS.c.made_at, KEYS.c.id)
    return tuple(_key(**row) for row in connection.execute(chosen).mappings())


def state(connection: Connection) -> State:
    """What to compare with an earlier one, to see whether any key is new or changed."""
    row = connection.execute(_STATE).one()
    return int(row[0]), int(row[1])


_STATE = select(func.coalesce(func.max(KEYS.c.changed), 0), func.count())


def now(connection: Connection) -> datetime:
    """The database's time, by which keys are made and end."""
    return database_time(connection)


def _next_change(connection: Connection) -> int:
    take_write_lock(connection)
    return state(connection)[0] + 1


def _key(*, digest: str, scopes: str, changed: int, **same: object) -> Key:  # noqa: ARG001 - a row has it
    return Key(digest=bytes.fromhex(digest), scopes=_several(scopes), **same)  # type: ignore[arg-type] # the columns' own types


def _several(scopes: str) -> tuple[str, ...]:
    return tuple(scopes.split(","))
