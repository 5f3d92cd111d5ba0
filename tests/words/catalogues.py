"""The catalogues of translations: `python -m tests.words.catalogues` makes the `.mo` files.

People edit the `.po` files; the standard library reads `.mo` files alone, so both are kept, and a test holds
them in step.
"""

from __future__ import annotations

from pathlib import Path

import polib

from service.words.language import DOMAIN, LANGUAGES, LOCALE, SOURCE

TRANSLATED = tuple(code for code in LANGUAGES if code != SOURCE)


def source(code: str) -> Path:
    """The file that people edit."""
    return LOCALE / code / "LC_MESSAGES" / f"{DOMAIN}.po"


def entries(code: str) -> polib.POFile:
    return polib.pofile(str(source(code)))


def compiled(code: str) -> bytes:
    """What the `.mo` file of a language has to hold."""
    found: bytes = entries(code).to_binary()
    return found


if __name__ == "__main__":
    for each in TRANSLATED:
        source(each).with_suffix(".mo").write_bytes(compiled(each))
