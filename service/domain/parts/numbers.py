"""A number as it was typed or read off a board: which parts may be meant."""

from __future__ import annotations

from service.domain.catalogue.model import Catalogue, Part


def folded(text: str) -> str:
    """A number or name without what people leave out or add: case, spaces, dashes, dots, slashes."""
    return "".join(character for character in text.casefold() if character.isalnum())


def by_number(catalogue: Catalogue, text: str) -> tuple[Part, ...]:
    """The parts with this order number; failing that, those with this number printed on the board."""
    wanted = folded(text)
    if not wanted:
        return ()
    ordered = tuple(part for part in catalogue.parts.values() if folded(part.number) == wanted)
    return ordered or tuple(
        part
        for part in catalogue.parts.values()
        if any(folded(printed) == wanted for printed in part.printed)
    )
