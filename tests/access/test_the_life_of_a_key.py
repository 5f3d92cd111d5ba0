"""Keys are made, listed, rotated and revoked; the store never has a secret. On both databases."""

from __future__ import annotations

import hmac
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine, text, update
from sqlalchemy.exc import IntegrityError

from service.store import keys as store
from service.store.engine import reading, writing
from service.store.keyring import Keyring
from service.store.reader import Reader
from service.store.tables import KEYS
from service.usecases import admitting
from service.usecases.admitting import Admission, KeyRefused, Why, admission, admit
from service.usecases.caller import Scope, View
from service.usecases.key_text import KeyText, new_key
from service.usecases.keys import (
    KeyEnded,
    NoSuchKey,
    listed_keys,
    make_key,
    revoke_key,
    rotate_key,
)

ANY = frozenset({Scope.ASK})


@pytest.fixture
def ring(engine: Engine) -> Iterator[Keyring[Admission]]:
    """One that looks at every question."""
    reader = Reader(engine)
    yield Keyring(reader, admission, 0)
    reader.close()


def seconds_of(engine: Engine) -> float:
    with reading(engine) as connection:
        return store.now(connection).timestamp()


def refused(ring: Keyring[Admission], written: str, now: float) -> Why:
    with pytest.raises(KeyRefused) as raised:
        admit(ring, written, now)
    return raised.value.why


def test_a_key_names_its_holder(engine: Engine, ring: Keyring[Admission]) -> None:
    wanted = frozenset({Scope.SELL, Scope.ASK})
    key, made = make_key(engine, owner="till-2", scopes=wanted, rate=7)
    found = admit(ring, key.written(), seconds_of(engine))
    assert found.key == made
    assert (found.caller.owner, found.caller.scopes, found.caller.view) == ("till-2", wanted, View.STAFF)
    assert (made.rate, made.expires_at, made.revoked_at) == (7, None, None)


def test_a_public_key_sees_nothing_and_may_ask_only(engine: Engine, ring: Keyring[Admission]) -> None:
    key, _ = make_key(engine, owner="chat", scopes=ANY, public=True)
    assert admit(ring, key.written(), seconds_of(engine)).caller.view is View.PUBLIC
    with pytest.raises(ValueError, match="public key"):
        make_key(engine, owner="chat", scopes={Scope.ASK, Scope.STOCK}, public=True)


def test_the_database_itself_refuses_a_public_key_with_more(engine: Engine) -> None:
    _, key = make_key(engine, owner="chat", scopes=ANY, public=True)
    with pytest.raises(IntegrityError), writing(engine) as connection:
        connection.execute(update(KEYS).where(KEYS.c.id == key.id).values(scopes="ask,stock"))


def test_what_is_made_is_listed_by_owner(engine: Engine) -> None:
    for owner in ("till", "chat", "till"):
        make_key(engine, owner=owner, scopes=ANY)
    assert [key.owner for key in listed_keys(engine)] == ["chat", "till", "till"]


def test_a_key_ends_when_it_was_made_to(engine: Engine, ring: Keyring[Admission]) -> None:
    key, made = make_key(engine, owner="x", scopes=ANY, lasts=timedelta(days=1))
    end = made.made_at.timestamp() + 86_400
    assert admit(ring, key.written(), end - 0.001).key.id == key.id
    assert refused(ring, key.written(), end) is Why.EXPIRED


def test_a_revoked_key_is_good_for_nothing_and_stays_listed(engine: Engine, ring: Keyring[Admission]) -> None:
    key, _ = make_key(engine, owner="x", scopes=ANY, lasts=timedelta(days=1))
    assert admit(ring, key.written(), seconds_of(engine)).key.id == key.id
    first = revoke_key(engine, key.id)
    assert refused(ring, key.written(), seconds_of(engine)) is Why.REVOKED
    assert revoke_key(engine, key.id) == first, "it ended once"
    assert [each.id for each in listed_keys(engine)] == [key.id]
    with pytest.raises(NoSuchKey):
        revoke_key(engine, "nowhere2")


def test_rotation_overlaps(engine: Engine, ring: Keyring[Admission]) -> None:
    old, made = make_key(engine, owner="till", scopes={Scope.ASK, Scope.SELL}, rate=9)
    new, following, ending = rotate_key(engine, old.id, timedelta(days=2))
    now = seconds_of(engine)
    both = [admit(ring, each.written(), now).caller for each in (old, new)]
    assert both[0] == both[1]
    assert (following.owner, following.scopes, following.rate) == (made.owner, made.scopes, made.rate)
    assert following.expires_at is None
    assert ending.expires_at is not None
    later = ending.expires_at.timestamp()
    assert later == pytest.approx(now + 2 * 86_400, abs=60)
    assert refused(ring, old.written(), later) is Why.EXPIRED
    assert admit(ring, new.written(), later).key.id == new.id


def test_rotation_never_lengthens_a_key(engine: Engine) -> None:
    old, made = make_key(engine, owner="x", scopes=ANY, lasts=timedelta(days=1))
    _, following, ending = rotate_key(engine, old.id, timedelta(days=30))
    assert ending.expires_at == made.expires_at
    assert following.expires_at == following.made_at + timedelta(days=1)


def test_without_overlap_the_old_key_ends_at_once(engine: Engine, ring: Keyring[Admission]) -> None:
    old, _ = make_key(engine, owner="x", scopes=ANY)
    new, _, _ = rotate_key(engine, old.id, timedelta())
    assert refused(ring, old.written(), seconds_of(engine)) is Why.EXPIRED
    assert admit(ring, new.written(), seconds_of(engine)).key.id == new.id
    with pytest.raises(KeyEnded):
        rotate_key(engine, old.id, timedelta())
    with pytest.raises(NoSuchKey):
        rotate_key(engine, "nowhere2", timedelta())


def test_how_a_key_ended_is_told_only_to_its_holder(engine: Engine, ring: Keyring[Admission]) -> None:
    key, _ = make_key(engine, owner="x", scopes=ANY)
    revoke_key(engine, key.id)
    guessed = KeyText(key.id, new_key().secret)
    assert refused(ring, guessed.written(), seconds_of(engine)) is Why.UNKNOWN


def test_secrets_are_compared_in_constant_time_whether_the_id_exists_or_not(
    engine: Engine, ring: Keyring[Admission], monkeypatch: pytest.MonkeyPatch
) -> None:
    compared: list[tuple[int, int]] = []

    def compare(one: bytes, other: bytes) -> bool:
        compared.append((len(one), len(other)))
        return hmac.compare_digest(one, other)

    monkeypatch.setattr(admitting, "hmac", type("Stub", (), {"compare_digest": staticmethod(compare)}))
    key, _ = make_key(engine, owner="x", scopes=ANY)
    now = seconds_of(engine)
    assert admit(ring, key.written(), now).key.id == key.id
    for wrong in (new_key(), KeyText(key.id, new_key().secret)):
        assert refused(ring, wrong.written(), now) is Why.UNKNOWN
    assert compared == [(32, 32)] * 3


def test_the_store_has_no_secret(engine: Engine) -> None:
    key, _ = make_key(engine, owner="x", scopes=ANY)
    new, _, _ = rotate_key(engine, key.id, timedelta(days=1))
    with reading(engine) as connection:
        told = repr(connection.execute(text("SELECT * FROM keys")).all())
    for each in (key, new):
        assert each.secret not in told
        assert each.digest().hex() in told


def test_the_file_has_no_secret(sqlite_engine: Engine) -> None:
    key, _ = make_key(sqlite_engine, owner="x", scopes=ANY)
    files = Path(str(sqlite_engine.url.database)).parent.glob("*")
    whole = b"".join(file.read_bytes() for file in files if file.is_file())
    assert key.digest().hex().encode() in whole
    assert key.secret.encode() not in whole


def test_a_scope_of_a_later_version_harms_nobody(engine: Engine, ring: Keyring[Admission]) -> None:
    """While a new version is rolled out, the one before it reads the keys that the new one makes."""
    later, _ = make_key(engine, owner="x", scopes=ANY)
    with writing(engine) as connection:
        connection.execute(update(KEYS).where(KEYS.c.id == later.id).values(scopes="ask,foresee"))
    other, _ = make_key(engine, owner="y", scopes=ANY)
    now = seconds_of(engine)
    assert admit(ring, later.written(), now).caller.scopes == ANY
    assert admit(ring, other.written(), now).caller.scopes == ANY
