"""Titled lists, and what an answer says besides its outcome."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from service.words import page_texts as texts
from service.words.caution_texts import SIGNALS
from service.words.language import Language

Shown = Mapping[str, Any]


def about(of: Shown, said: Language) -> Iterator[str]:
    """What an answer says besides its outcome: what to do, what is open, what was assumed."""
    say = said.say
    yield from section(say(texts.TO_DO), (_step(each, said) for each in of["programming"]["steps"]))
    if of["programming"]["minutes"]:
        yield "  " + say(texts.MINUTES, **_ends(of["programming"]["minutes"]))
    if of["ask"]:
        yield from section(say(texts.TO_FIND_OUT), [of["ask"]["question"], of["ask"]["how"]])
    held = [say(texts.HOLDERS[name]) for name, word in of["clearance"].items() if word == "held"]
    yield from section(say(texts.HELD_TITLE), (say(texts.HELD_ONE, what=each) for each in held))
    yield from cautions(say(texts.CAUTIONS), of["cautions"], said)


def section(title: str, lines: Iterable[str]) -> Iterator[str]:
    """A titled list; nothing where the list is empty."""
    shown = [f"  {line}" for line in lines]
    if shown:
        yield from ("", f"{title}:", *shown)


def cautions(title: str, of: Iterable[Shown], said: Language) -> Iterator[str]:
    """Cautions, each behind its signal word."""
    yield from section(title, (caution(each, said) for each in of))


def caution(of: Shown, said: Language) -> str:
    """A caution behind its signal word."""
    return f"{said.say(SIGNALS[of['signal']])}: {of['text']}"


def span(of: Mapping[str, int], said: Language) -> str:
    """Minutes, least and most."""
    return said.say(texts.SPAN, **_ends(of))


def page(lines: Iterable[str], of: Shown, said: Language) -> str:
    """The lines, where the next page begins, and the catalogue that all was told from."""
    cursor = of.get("next_cursor")
    more = ["", said.say(texts.MORE, cursor=cursor)] if cursor else []
    revision = said.say(texts.CATALOGUE, revision=of["catalogue_revision"])
    return "\n".join([*lines, *more, "", revision]) + "\n"


def _ends(of: Mapping[str, int]) -> dict[str, str]:
    return {"least": str(of["least"]), "most": str(of["most"])}


def _step(of: Shown, said: Language) -> str:
    told = [said.say(texts.WHO[of["who"]]), span(of["minutes"], said)]
    if not of["undoable"]:
        told.append(said.say(texts.UNDONE_NEVER))
    if "when" in of:
        told.append(_when(of["when"], said))
    return f"{of['text']} ({', '.join(told)})"


def _when(of: Shown, said: Language) -> str:
    if of["values"]:
        return said.say(texts.IF, fact=of["fact"], values=said.either(of["values"]))
    return said.say(texts.DEPENDING, fact=of["fact"])
