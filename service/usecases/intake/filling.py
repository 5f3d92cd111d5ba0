"""What an event leaves out and the label, the ledger or the catalogue says: filled in, so that it stands."""

from __future__ import annotations

from service.domain.ledger.event import EventKind
from service.domain.ledger.fields import FieldTable
from service.domain.ledger.programming import POLICIES
from service.domain.place import Place
from service.domain.terms import PartNumber, RoleId, StepKind
from service.usecases.intake.known import Known
from service.usecases.intake.told import Block, Path
from service.usecases.mending import Fault, hint, shown

MODELS_OF_WORK = frozenset(
    {EventKind.FITTED, EventKind.STEP_STARTED, EventKind.STEP_FINISHED, EventKind.STEP_FAILED}
)
"""Kinds whose `model` is that of the unit worked on. Elsewhere it is what somebody states."""


class Filler:
    """Fills the gaps of one event, and collects what cannot be filled."""

    def __init__(self, known: Known) -> None:
        self._known = known
        self._catalogue = known.compiled.catalogue
        self.faults: list[Fault] = []

    def event(self, kind: str, table: FieldTable, data: Block, path: Path) -> None:
        """Complete an event's data in place."""
        if kind == EventKind.FOUND:
            self._former_place(data)
        if kind in MODELS_OF_WORK and "unit" in data and "model" not in data:
            self._model(data)
        self._board(table, data, data.get("unit"), path)
        if kind == EventKind.REMOVED and "board" not in data:
            self._recorded(data)
        if self._is_introduction(data):
            self._naming(data)
        if "naming" in data:
            self._seat(data["naming"], data.get("unit"), (*path, "naming"))
        for at, block in enumerate(data.get("boards", ())):
            # Boards of a list sit in the unit by what the event itself says: each needs its place.
            entry = (table["boards"].of or {}) if "boards" in table else {}
            self._board(entry, block, data.get("into", data.get("unit")), (*path, "boards", at))

    def _board(self, table: FieldTable, block: Block, unit: str | None, path: Path) -> None:
        """Part, place and policy of the board that a block speaks of."""
        self._part(table, block)
        if "release" in block:
            self._release(block, path)
        if "policy" not in table:
            return
        if table["role"].required or ("unit" in block and self._sits(block)):
            self._seat(block, unit, path)
        if "role" in block:
            self._policy(block, path)

    def _part(self, table: FieldTable, block: Block) -> None:
        """The part that the label names, where nothing else says which it is."""
        if "part" not in table or "part" in block or "board" not in block:
            return
        board = block["board"]
        if self._known.part(board) is None and len(own := self._known.parts(board)) == 1:
            (block["part"],) = own

    def _sits(self, block: Block) -> bool:
        """Whether the board of a block, whose role may be left out, sits in the unit of the block."""
        if block.get("step") == StepKind.INTRODUCE or "role" in block or "step" not in block:
            return "board" in block
        seat = self._known.seat(block.get("board", ""))
        return seat is not None and seat.unit == block["unit"]

    def _seat(self, block: Block, unit: str | None, path: Path) -> None:
        """Role and place: as the board is recorded to sit in the unit, else by its part."""
        board = block.get("board", "")
        seat = self._known.seat(board)
        if seat is not None and seat.unit == unit and block.get("role", seat.place.role) == seat.place.role:
            block["role"] = seat.place.role
            if seat.place.name:
                block.setdefault("place", seat.place.name)
        if "role" not in block:
            roles = {self._catalogue.parts[part].role for part in self._parts(block)}
            if len(roles) != 1:
                self.faults.append(Fault((*path, "role"), "is missing: neither label nor record tells it"))
                return
            (block["role"],) = roles
        self._place(block, path)

    def _parts(self, block: Block) -> frozenset[PartNumber]:
        if "part" in block:
            return frozenset({PartNumber(block["part"])}) & self._catalogue.parts.keys()
        return self._known.parts(block["board"]) if "board" in block else frozenset()

    def _place(self, block: Block, path: Path) -> None:
        role = self._catalogue.roles.get(RoleId(block["role"]))
        if role is None:
            return
        place = block.get("place", "")
        if place in role.places:
            return
        listed = ", ".join(name for name in role.places if name)
        if not listed:
            detail = f"the {role.name} has one place: leave this out"
        elif not place:
            detail = f"is missing: the {role.name} has several places, give one of {listed}"
        else:
            detail = f"the {role.name} has no place {shown(place)}: {hint(place, role.places, found_at='')}"
        self.faults.append(Fault((*path, "place"), detail))

    def _policy(self, block: Block, path: Path) -> None:
        """What the part does with the identity of the unit, as the catalogue in force says."""
        part = self._catalogue.parts.get(block.get("part", ""))
        if part is not None:
            if part.role != block["role"]:
                mend = f"the part {part.number} is for the role {part.role}: leave one of them out"
                self.faults.append(Fault((*path, "role"), mend))
            block["policy"] = part.binding.value
            return
        implied = POLICIES.get(StepKind(block["step"])) if "step" in block else None
        policies = {implied} if implied else self._known.policies(block.get("board"), block["role"])
        if len(policies) == 1:
            block["policy"] = next(iter(policies)).value
        elif block["role"] in self._catalogue.roles:
            what = "is missing: boards of that role differ, record first which part it is"
            self.faults.append(Fault((*path, "part"), what))

    def _release(self, block: Block, path: Path) -> None:
        """A release is one of those of the board's role, as far as the role is known."""
        own = {self._catalogue.parts[part].role for part in self._parts(block)}
        roles = {RoleId(block["role"])} if "role" in block else own
        releases = {name for role in roles for name in self._catalogue.roles[role].releases}
        if roles and block["release"] not in releases:
            mend = hint(block["release"], releases, found_at="the catalogue")
            self.faults.append(
                Fault((*path, "release"), f"the board has no release {shown(block['release'])}: {mend}")
            )

    def _model(self, data: Block) -> None:
        model = self._known.model(data["unit"])
        if model is not None:
            data["model"] = model

    def _recorded(self, data: Block) -> None:
        """The board that is recorded where one came out whose serial could not be read."""
        if "role" not in data:
            return  # a fault of its own, told with its place
        place = Place(RoleId(data["role"]), data.get("place", ""))
        found = self._known.occupant(data["unit"], place)
        if found is not None:
            data.setdefault("recorded", found)

    def _former_place(self, data: Block) -> None:
        seat = self._known.seat(data.get("board", ""))
        if "was" not in data and seat is not None:
            data["was"] = {"unit": seat.unit, **_placed(seat.place)}

    @staticmethod
    def _is_introduction(data: Block) -> bool:
        told = data.get("step") == StepKind.INTRODUCE or data.get("introduced") is True
        return told and "naming" not in data and "unit" in data

    def _naming(self, data: Block) -> None:
        """The board that carries the serial, where it is known to sit in the unit."""
        found = [each for each in self._known.naming_boards(data["unit"]) if each[0] != data.get("board")]
        if len(found) == 1:
            ((board, place),) = found
            data["naming"] = {"board": board, **_placed(place)}


def _placed(place: Place) -> Block:
    return {"role": place.role, **({"place": place.name} if place.name else {})}
