"""The texts that a language has to say, read off the modules of `service.words`."""

from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Iterator, Mapping
from functools import cache

import service.words

OF_DEVELOPERS = re.compile(r"(\w+_)?MEANINGS|UNCORRECTABLE")
"""What the document and the problems say: these stay English."""
NO_TEXTS = frozenset({"SOURCE", "DOMAIN", "NEEDS_INTRODUCING"})
INLINE = (
    *("an {name}", "a {name}", "{first} or {last}", "{first} and {last}"),
    *("{first}; {last}", "{name}: {value}", "{title}:"),
)
"""The joints of `Language`, which has no constants for them."""
FOREIGN_BOARD = ("board that goes by a foreign name", "{name}")
"""The one text with a context."""


@cache
def msgids() -> Mapping[str, tuple[str, ...]]:
    """Each text with the modules that it stands in."""
    found: dict[str, list[str]] = {text: ["language"] for text in INLINE}
    for module in sorted(each.name for each in pkgutil.iter_modules(service.words.__path__)):
        for text in _texts(module):
            where = found.setdefault(text, [])
            where.append(module) if module not in where else None
    return {text: tuple(where) for text, where in found.items()}


def _texts(module: str) -> Iterator[str]:
    """The texts of the constants that a module defines; what it imports has its own module."""
    loaded = vars(importlib.import_module(f"service.words.{module}"))
    source = loaded["__spec__"].loader.get_source(loaded["__name__"])
    for name, value in loaded.items():
        if (
            name.isupper()
            and not OF_DEVELOPERS.fullmatch(name)
            and name not in NO_TEXTS
            and _is_own(name, source)
        ):
            if isinstance(value, str):
                yield value
            elif isinstance(value, Mapping):
                yield from (text for text in value.values() if isinstance(text, str))


def _is_own(name: str, source: str) -> bool:
    return f"\n{name} =" in source or f"\n{name}: " in source
