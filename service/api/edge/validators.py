"""Entity tags and the conditional GET (RFC 9110 sections 8.8.3 and 13)."""

from __future__ import annotations

import hashlib
from base64 import urlsafe_b64encode

from werkzeug.http import parse_etags

from service import __version__

_RELEASE = __version__.encode()
_PIECE = 2_047
"""The most that the library hashes at once without letting other threads go on. A thread that lets them, and
waits for its turn again, loses ten times what the hashing takes."""


def entity_tag(*parts: str | bytes) -> str:
    """A strong tag, unquoted: a hash of all that the bytes of a response depend on besides its address.

    The software's own version is among them: a new release may word the same answer otherwise.
    """
    whole = hashlib.sha256(_RELEASE)
    for part in parts:
        whole.update(b"\x1f")
        encoded = memoryview(part if isinstance(part, bytes) else part.encode())
        for start in range(0, len(encoded), _PIECE):
            whole.update(encoded[start : start + _PIECE])
    return urlsafe_b64encode(whole.digest()[:18]).decode()


def is_known(if_none_match: str | None, tag: str) -> bool:
    """Whether the caller holds these bytes already. Weak comparison; a malformed field is no match."""
    if not if_none_match:
        return False
    return parse_etags(if_none_match).contains_weak(tag)
