"""A picture in sentences, for those who hear it: everything that it shows, in its order."""

from __future__ import annotations

from collections.abc import Iterator

from service.pictures.content import Card, Picture
from service.words import picture_texts as texts
from service.words.names import Names


def aloud(picture: Picture, names: Names) -> str:
    """The description."""
    return " ".join(_sentences(picture, names))


def _sentences(picture: Picture, names: Names) -> Iterator[str]:
    yield _closed(picture.headline)
    yield picture.summary
    if picture.held:
        yield picture.held
    yield names.language.labelled(picture.machine, " ".join(picture.identity))
    for at, heading in enumerate(picture.columns if picture.rows else ()):
        cards = [row.after if at else row.before for row in picture.rows]
        yield _closed(heading)
        yield from (_card(card, names) for card in cards if card is not None)
    if picture.others:
        yield _closed(picture.others_title)
        yield from (_card(card, names) for card in picture.others)
    for section in picture.sections:
        yield _closed(section.title)
        yield from map(_closed, section.lines)
    if picture.warned:
        yield _closed(picture.cautions)
        yield from (names.language.labelled(each.signal, each.text) for each in picture.warned)
    yield picture.footer


def _card(card: Card, names: Names) -> str:
    say = names.language.say
    serial = [say(texts.SERIAL, serial=card.serial)] if card.serial else []
    return say(texts.DESCRIBED, board=card.name, mark=card.state, facts=" ".join((*serial, *card.facts)))


def _closed(text: str) -> str:
    """A title as a sentence of its own."""
    return text if text.endswith((".", "?", "!")) else f"{text}."
