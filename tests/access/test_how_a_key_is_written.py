"""A key is told apart from a mistyped one without a look-up, and cannot be guessed."""

from __future__ import annotations

import hashlib
import re
from zlib import crc32

import pytest

from service.demo.keys import DEMO_KEYS
from service.usecases.key_text import KeyText, Mistyped, new_key, read_key

ALPHABET = "abcdefghijklmnopqrstuvwxyz234567"
# The check value that catalogues of CRC algorithms give for CRC-32/ISO-HDLC (from memory).
CRC_OF_123456789 = 0xCBF43926


def is_read(text: str) -> bool:
    try:
        read_key(text)
    except Mistyped:
        return False
    return True


def test_the_checksum_is_the_published_one() -> None:
    assert crc32(b"123456789") == CRC_OF_123456789
    body, _, check = new_key().written().rpartition("_")
    assert int(check, 16) == crc32(body.encode())


def test_a_key_has_the_shape_that_is_told() -> None:
    written = new_key().written()
    assert re.fullmatch(r"bfk_[a-z2-7]{8}_[a-z2-7]{32}_[0-9a-f]{8}", written)
    assert len(written) == 54


def test_a_key_is_read_back_as_it_was_written() -> None:
    for key in (new_key(), *(each.text for each in DEMO_KEYS)):
        assert read_key(key.written()) == key


def test_no_two_keys_are_alike_and_every_character_varies() -> None:
    keys = [new_key() for _ in range(400)]
    assert len({key.id for key in keys}) == len({key.secret for key in keys}) == 400
    for place in range(32):
        # 400 draws of 32 characters leave fewer than 20 of them out with a chance of 1 in 10^100.
        assert len({key.secret[place] for key in keys}) > 20


def test_every_single_wrong_character_is_noticed() -> None:
    written = new_key().written()
    others = ALPHABET + "0189_ABZ-"
    for place, right in enumerate(written):
        for wrong in set(others) - {right}:
            assert not is_read(written[:place] + wrong + written[place + 1 :])


def test_two_neighbours_that_changed_places_are_noticed() -> None:
    for _ in range(20):
        written = new_key().written()
        for place in range(len(written) - 1):
            one, other = written[place], written[place + 1]
            if one != other:
                assert not is_read(written[:place] + other + one + written[place + 2 :])


def test_nothing_but_the_key_itself_is_read() -> None:
    key = new_key().written()
    for other in (key.upper(), f" {key}", f"{key} ", f"{key}\n", key[1:], key[:-1], key * 2):
        assert not is_read(other)


@pytest.mark.parametrize("text", ["", "bfk_", "bfk___", "x" * 10_000, "bfk_\x00", "bfk_" + "é" * 50])
def test_anything_else_is_no_key(text: str) -> None:
    assert not is_read(text)


def test_the_digest_is_the_sha_256_of_the_secret_alone() -> None:
    key = KeyText("aaaaaaaa", "b" * 32)
    assert key.digest() == hashlib.sha256(b"b" * 32).digest()
    assert KeyText("cccccccc", "b" * 32).digest() == key.digest()


def test_a_key_in_an_error_shows_no_secret() -> None:
    key = new_key()
    assert key.secret not in f"{key!r} {key} {[key]}"
