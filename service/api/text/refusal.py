"""What to do when a unit refuses to run, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.lists import cautions, section, span
from service.words import page_texts as texts
from service.words.language import Language
from service.words.step_texts import WHO

Shown = Mapping[str, Any]


def if_it_refuses(of: Shown, said: Language) -> Iterator[str]:
    """The advice."""
    yield from section(said.say(texts.IF_IT_REFUSES), [of["text"], *_mend(of["mend"], said)], said)
    yield from section(said.say(texts.WHERE_TO_LOOK), (_look(each, said) for each in of["look_at"]), said)
    yield from cautions(said.say(texts.CAUTIONS_MEANWHILE), of["cautions"], said)


def _mend(of: Shown, said: Language) -> Iterator[str]:
    by = [said.both(said.say(WHO[who]) for who in of["who"])] if of["who"] else []
    by += [span(of["minutes"], said)] if "minutes" in of else []
    yield f"{of['text']} ({', '.join(by)})" if by else of["text"]
    found = (each["candidates"] for each in of["boards"] if "candidates" in each)
    yield from (said.say(texts.IN_STOCK, address=each) for each in found)


def _look(of: Shown, said: Language) -> str:
    return said.labelled(f"{of['name']}, {of['where']}", of["text"])
