"""Keys: made, listed, rotated, revoked."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from service.store import keys as store
from service.store.engine import Database, reading, writing
from service.store.keys import Key
from service.usecases.caller import Scope
from service.usecases.key_text import KeyText, new_key

USUAL_RATE = 600
"""Requests a minute."""


class NoSuchKey(Exception):
    """No key has that id."""


class KeyEnded(Exception):
    """The key has ended already, so there is nothing to rotate."""


def make_key(
    database: Database,
    *,
    owner: str,
    scopes: Collection[Scope],
    public: bool = False,
    rate: int = USUAL_RATE,
    lasts: timedelta | None = None,
    text: KeyText | None = None,
) -> tuple[KeyText, Key]:
    """A new key; its text is here and nowhere else. `text` is for keys that everybody may know.

    Raises ValueError for a public key with other scopes than `ask`.
    """
    if public and set(scopes) != {Scope.ASK}:
        raise ValueError("a public key may ask, and nothing else")
    text = text or new_key()
    with writing(database) as connection:
        made_at = store.now(connection)
        key = Key(
            id=text.id,
            digest=text.digest(),
            owner=owner,
            scopes=tuple(scope for scope in Scope if scope in scopes),
            public=public,
            rate=rate,
            made_at=made_at,
            expires_at=None if lasts is None else made_at + lasts,
        )
        store.add(connection, key)
    return text, key


def listed_keys(database: Database) -> Sequence[Key]:
    """All keys, those that ended too."""
    with reading(database) as connection:
        return store.all_keys(connection)


def revoke_key(database: Database, key_id: str) -> Key:
    """Let a key end now. One that ended already stays as it is. Raises NoSuchKey."""
    with writing(database) as connection:
        now = store.now(connection)
        key = _existing(store.all_keys(connection), key_id)
        if _has_ended(key, now):
            return key
        store.end(connection, key_id, revoked_at=now)
    return replace(key, revoked_at=now)


def rotate_key(database: Database, key_id: str, overlap: timedelta) -> tuple[KeyText, Key, Key]:
    """A new key for the same owner and the same ends, which lasts as long from now as the old one was made
    to; the old one ends after the overlap, or when it would have ended anyway.

    Raises NoSuchKey, KeyEnded.
    """
    text = new_key()
    with writing(database) as connection:
        now = store.now(connection)
        old = _existing(store.all_keys(connection), key_id)
        if _has_ended(old, now):
            raise KeyEnded(key_id)
        lasts = None if old.expires_at is None else old.expires_at - old.made_at
        new = replace(
            old,
            id=text.id,
            digest=text.digest(),
            made_at=now,
            expires_at=None if lasts is None else now + lasts,
        )
        ends = min(now + overlap, old.expires_at or datetime.max.replace(tzinfo=now.tzinfo))
        store.end(connection, old.id, expires_at=ends)
        store.add(connection, new)
    return text, new, replace(old, expires_at=ends)


def _existing(keys: Sequence[Key], key_id: str) -> Key:
    for key in keys:
        if key.id == key_id:
            return key
    raise NoSuchKey(key_id)


def _has_ended(key: Key, now: datetime) -> bool:
    ended = key.ended_at()
    return ended is not None and ended <= now
