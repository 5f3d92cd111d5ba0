"""Events in plain lines: a diary."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from service.words import page_texts as texts
from service.words.language import Language

Shown = Mapping[str, Any]


def recorded(of: Shown, said: Language) -> str:
    """What was recorded."""
    lines = [_line(each, said) for each in of["events"]]
    lines += [_answered(each, said) for each in of.get("answers_given", ())]
    return _text(lines)


def history(of: Shown, said: Language) -> str:
    """What happened to one board or unit."""
    text, serial = (texts.BOARD, of["board"]) if "board" in of else (texts.UNIT, of["unit"])
    return _text([said.say(text, serial=serial), *_lines(of["items"], said)])


def feed(of: Shown, said: Language) -> str:
    """A page of the feed."""
    return _text([*_lines(of["items"], said), said.say(texts.GO_ON, after=str(of["next_after"]))])


def _lines(items: Iterable[Shown], said: Language) -> Iterator[str]:
    found = [_line(each, said) for each in items]
    yield from found or [said.say(texts.NOTHING_RECORDED)]


def _line(of: Shown, said: Language) -> str:
    line = f"{of['occurred_at'][:16].replace('T', ' ')}  {of['seq']:>6}  {of['text']}"
    if "withdrawn" in of:
        by, reason = of["withdrawn"]["by"], of["withdrawn"]["reason"]
        line += f" [{said.say(texts.WITHDRAWN, by=str(by), reason=reason)}]"
    return line


def _answered(of: Shown, said: Language) -> str:
    return said.say(texts.ANSWERED_SINCE, kind=of["kind"], board=of["board"], seq=str(of["seq"]))


def _text(lines: Iterable[str]) -> str:
    return "\n".join(lines) + "\n"
