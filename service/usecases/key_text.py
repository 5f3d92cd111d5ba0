"""How a key is written: `bfk_<id>_<secret>_<check>`, 54 characters.

The id is public: logs and lists name a key by it. The secret has 160 random bits. The check is the
CRC-32 of everything before it, so that a key that was mistyped or cut is told apart without a look-up: a
CRC-32 notices every single wrong character and every two neighbours that changed places, and nearly
all else. The prefix lets a scanner of source code find a key that was left there.
Source: common practice; CRC-32 as in ISO/IEC/IEEE 8802-3 (zlib's).
"""

from __future__ import annotations

import hashlib
import re
import secrets
from base64 import b32encode
from dataclasses import dataclass
from zlib import crc32

PREFIX = "bfk_"
ID_BYTES = 5
SECRET_BYTES = 20
"""Whole groups of five bytes: base 32 writes them without padding."""

_WRITTEN = re.compile(r"(bfk_([a-z2-7]{8})_([a-z2-7]{32}))_([0-9a-f]{8})\Z")


class Mistyped(ValueError):
    """A text that no key can be: characters are missing, too many, or other than they were."""


@dataclass(frozen=True, slots=True)
class KeyText:
    """A key as its holder has it."""

    id: str
    secret: str

    def written(self) -> str:
        """The whole key."""
        body = f"{PREFIX}{self.id}_{self.secret}"
        return f"{body}_{_check(body)}"

    def digest(self) -> bytes:
        """What the store keeps in the secret's place: its SHA-256.

        A slow hash is for what people choose; nobody guesses 160 random bits.
        """
        return hashlib.sha256(self.secret.encode()).digest()

    def __repr__(self) -> str:
        """Without the secret: a key must not get into a log by way of an error."""
        return f"KeyText({self.id!r}, ...)"


def new_key() -> KeyText:
    """A key that nobody has yet."""
    return KeyText(_random(ID_BYTES), _random(SECRET_BYTES))


def read_key(text: str) -> KeyText:
    """The key that is written so. Raises Mistyped."""
    found = _WRITTEN.match(text)
    if found is None or _check(found[1]) != found[4]:
        raise Mistyped
    return KeyText(found[2], found[3])


def _check(body: str) -> str:
    return f"{crc32(body.encode()):08x}"


def _random(size: int) -> str:
    return b32encode(secrets.token_bytes(size)).decode().lower()
