"""The eight check character systems of ISO/IEC 7064.

The five pure systems MOD M-r read a text as a number in radix r and want it congruent to 1 modulo
M. The three hybrid systems MOD M+1,M carry a remainder through M and M+1 in turn. Source: ISO/IEC
7064 (from memory; values confirmed against independent libraries in the tests).
"""

from __future__ import annotations

from service.domain.serials.check.system import ALPHANUMERIC, DIGITS, LETTERS, CheckSystem

_VALUES = {character: value for value, character in enumerate(ALPHANUMERIC)}


def _pure_one(modulus: int, body: str, check: str) -> CheckSystem:
    """MOD 11-2 and MOD 37-2: one check character, which may be one that no body has."""
    values = {character: value for value, character in enumerate(body)}

    def compute(text: str) -> str:
        total = 0
        for character in text:
            total = (total + values[character]) * 2 % modulus
        return check[(1 - total) % modulus]

    return CheckSystem(name=f"iso-7064-mod-{modulus}-2", body=body, check=check, compute=compute)


def _pure_two(modulus: int, radix: int, characters: str) -> CheckSystem:
    """MOD 661-26 and MOD 1271-36: two check characters out of the body's own alphabet."""
    values = {character: value for value, character in enumerate(characters)}

    def remainder(text: str) -> int:
        total = 0
        for character in text:
            total = (total * radix + values[character]) % modulus
        return total

    def compute(text: str) -> str:
        value = (1 - remainder(text) * radix * radix) % modulus
        return characters[value // radix] + characters[value % radix]

    return CheckSystem(
        name=f"iso-7064-mod-{modulus}-{radix}",
        body=characters,
        check=characters,
        length=2,
        compute=compute,
        verify=lambda text: remainder(text) == 1,
    )


def _mod_97_10() -> CheckSystem:
    """MOD 97-10, letters standing for two digits each (A = 10 … Z = 35), as ISO 17442 uses it.

    Computed check digits lie in 02 to 98, as ISO 13616 has them (from memory). The congruence also
    holds for 00 in place of 97 and 01 in place of 98.
    """
    expanded = {ord(character): str(value) for character, value in _VALUES.items()}

    def remainder(text: str) -> int:
        return int(text.translate(expanded)) % 97

    return CheckSystem(
        name="iso-7064-mod-97-10",
        body=ALPHANUMERIC,
        check=DIGITS,
        length=2,
        compute=lambda text: f"{98 - remainder(text + '00'):02d}",
        verify=lambda text: remainder(text) == 1,
    )


def _hybrid(modulus: int, characters: str) -> CheckSystem:
    """MOD 11,10, MOD 27,26 and MOD 37,36: one check character out of the body's own alphabet."""
    values = {character: value for value, character in enumerate(characters)}

    def compute(text: str) -> str:
        carried = modulus
        for character in text:
            # A sum of zero counts as the modulus, so that the product never loses the remainder.
            carried = ((carried + values[character]) % modulus or modulus) * 2 % (modulus + 1)
        return characters[(1 - carried) % modulus]

    return CheckSystem(
        name=f"iso-7064-mod-{modulus + 1}-{modulus}", body=characters, check=characters, compute=compute
    )


SYSTEMS = (
    _pure_one(11, DIGITS, DIGITS + "X"),
    _pure_one(37, ALPHANUMERIC, ALPHANUMERIC + "*"),
    _mod_97_10(),
    _pure_two(661, 26, LETTERS),
    _pure_two(1271, 36, ALPHANUMERIC),
    _hybrid(10, DIGITS),
    _hybrid(26, LETTERS),
    _hybrid(36, ALPHANUMERIC),
)
