"""One language: gettext's translation of the English texts, and the filling in of facts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, reduce
from gettext import NullTranslations, translation
from pathlib import Path

SOURCE = "en"
"""The language of the msgids."""
LANGUAGES = (SOURCE, "de", "fr", "sv")
"""The languages there are; a further one is a folder in `words/locale` and its code here."""
DOMAIN = "service"
"""The name of the catalogues of translations."""
VOWELS = frozenset("AEIOaeio")
"""First letters that take "an". Names with a U are read as "a unit" is."""
LOCALE = Path(__file__).parent / "locale"


@dataclass(frozen=True, slots=True)
class Language:
    """A language to speak in."""

    code: str
    translations: NullTranslations

    def say(self, text: str, **facts: str) -> str:
        """A text in this language with its facts filled in."""
        return self.translations.gettext(text).format(**facts)

    def foreign_board(self, name: str) -> str:
        """The name of a kind of board that is not of this language, so that it can stand for a board."""
        return self.translations.pgettext("board that goes by a foreign name", "{name}").format(name=name)

    def a(self, name: str) -> str:
        """A name with its article."""
        return self.say("an {name}" if name[:1] in VOWELS else "a {name}", name=name)

    def either(self, items: Iterable[str]) -> str:
        """Names as alternatives: "A", "A or B", "A, B or C"."""
        return self._joined(items, "{first} or {last}")

    def both(self, items: Iterable[str]) -> str:
        """Names together: "A", "A and B", "A, B and C"."""
        return self._joined(items, "{first} and {last}")

    def apart(self, items: Iterable[str]) -> str:
        """Things that are told one after the other: "A", "A; B", "A; B; C"."""
        told, *others = list(items) or [""]
        return reduce(lambda a, b: self.say("{first}; {last}", first=a, last=b), others, told)

    def labelled(self, name: str, value: str) -> str:
        """A value behind its name."""
        return self.say("{name}: {value}", name=name, value=value)

    def titled(self, title: str) -> str:
        """The title of a list, alone in its line."""
        return self.say("{title}:", title=title)

    def _joined(self, items: Iterable[str], pattern: str) -> str:
        *first, last = list(items) or [""]
        return self.say(pattern, first=", ".join(first), last=last) if first else last


def one_spaced(text: str) -> str:
    """A text in which facts that are empty left spaces, with one where there are several. What does not break
    stays."""
    return " ".join(each for each in text.split(" ") if each)


@cache
def language(code: str) -> Language:
    """The language of that code; the source language for one that there is not."""
    if code not in LANGUAGES or code == SOURCE:
        return Language(SOURCE, NullTranslations())
    return Language(code, translation(DOMAIN, LOCALE, [code]))
