"""Labels and plates that have to be read again."""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.fit.answer import Answer
from service.domain.serials import Subject, Unreadable, UnreadableCause, decode
from service.words import summary_texts as texts
from service.words.names import Names


def unread_labels(answer: Answer) -> list[str]:
    """Serials of proposed boards that tell nothing of the part."""
    return [b.serial for b in answer.case.proposed if b.serial and b.record is None and not b.part.values]


def misread_labels(answer: Answer, names: Names) -> Iterator[str]:
    """The labels that were misread, where a board's part is not known otherwise."""
    for serial in dict.fromkeys(unread_labels(answer)):
        found = decode(names.catalogue.schemes, Subject.BOARD, serial)
        if isinstance(found, Unreadable):
            yield _read_again(found, names, texts.MISREAD_LABEL, texts.UNREADABLE_LABEL)


def misread_plate(answer: Answer, names: Names) -> str:
    """The plate, of which no scheme reads the serial."""
    plate = answer.case.unit.plate
    assert isinstance(plate, Unreadable)
    return _read_again(plate, names, texts.MISREAD, texts.UNREADABLE)


def _read_again(found: Unreadable, names: Names, misread: str, unreadable: str) -> str:
    if found.cause is UnreadableCause.NO_SCHEME or not found.read_first:
        return names.language.say(unreadable, serial=found.serial)
    positions = names.language.either(map(str, found.read_first))
    return names.language.say(misread, serial=found.serial, positions=positions)
