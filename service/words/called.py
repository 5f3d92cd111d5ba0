"""How a diary calls a board and a machine: by what it is and by its serial."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.domain.place import Place
from service.domain.serials import Decoded, Subject, decode
from service.domain.terms import PartNumber, RoleId
from service.words.event_texts import BOARD, SOME_BOARD, SOME_UNIT, UNIT
from service.words.names import Names


def board_called(names: Names, block: Mapping[str, Any]) -> str:
    """A board by a block that may hold `board`, `role`, `place` and `part`: "main board TBM4…"."""
    role = block.get("role") or _role(names, block.get("board", ""), block.get("part"))
    name = (
        names.place(Place(RoleId(role), block.get("place", ""))) if role else names.language.say(SOME_BOARD)
    )
    return _with_serial(names, BOARD, block.get("board"), board=name)


def unit_called(names: Names, serial: str, model: str | None = None) -> str:
    """A unit by its serial and, where they are known, its model: "Plover 40 TMPL…"."""
    found = model or _model(names, serial)
    if found is None:
        return _with_serial(names, SOME_UNIT, serial)
    return _with_serial(names, UNIT, serial, unit=names.model(found))


def _with_serial(names: Names, text: str, serial: str | None, **name: str) -> str:
    return names.language.say(text, serial=serial or "", **name).strip()


def _role(names: Names, serial: str, part: str | None) -> str | None:
    """The role of a part, else the one role of all parts that the label may be of."""
    parts = names.catalogue.parts
    if part is not None:
        return parts[PartNumber(part)].role if part in parts else None
    label = decode(names.catalogue.schemes, Subject.BOARD, serial)
    found = {parts[each].role for each in label.parts if each in parts} if isinstance(label, Decoded) else ()
    return next(iter(found)) if len(found) == 1 else None


def _model(names: Names, serial: str) -> str | None:
    plate = decode(names.catalogue.schemes, Subject.UNIT, serial)
    models = plate.models if isinstance(plate, Decoded) else ()
    return next(iter(models)) if len(models) == 1 else None
