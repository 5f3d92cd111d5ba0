"""Questions as a caller writes them: a world stated in full, and then less and less of it.

`stated` writes a world down as a question and records with nothing left unknown. `forgotten` takes facts
away again, and `told` adds one: together they make every question between all and nothing.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, field
from random import Random
from typing import Any

from tests.oracles import plain_serials
from tests.oracles.catalogues import chance
from tests.oracles.world import BLANK, UNBOUND, Board, Document, World

IN_SERVICE_KEY, IDLE_KEY = 7001, 7002
"""Running numbers of two other units: one is registered and in service, one is nobody's."""


@dataclass(slots=True)
class Asked:
    """A question with the records it is asked against."""

    catalogue: Document
    question: dict[str, Any]
    records: dict[str, Any] = field(default_factory=lambda: {"boards": {}, "units": {}})

    def copy(self) -> Asked:
        return Asked(self.catalogue, deepcopy(self.question), deepcopy(self.records))

    @property
    def unit(self) -> dict[str, Any]:
        found: dict[str, Any] = self.question["unit"]
        return found

    def board(self, place: str) -> dict[str, Any]:
        """The entry of a place, proposed or staying, made when there is none."""
        for entry in [*self.question["boards"], *self.unit.setdefault("boards", [])]:
            if spot(place).items() <= entry.items():
                found: dict[str, Any] = entry
                return found
        made = spot(place)
        self.unit["boards"].append(made)
        return made

    def holder(self, state: str, model: str) -> str:
        """A serial that a board may hold, by what is known of its unit; that unit is put on record."""
        if state == "nothing":
            return ""
        if state == "this_unit":
            return str(self.unit["serial"])
        if state == "idle":
            return plain_serials.written(self.catalogue, model, IDLE_KEY)
        serial = plain_serials.written(self.catalogue, model, IN_SERVICE_KEY)
        self.records["units"].setdefault(serial, {"registered": True, "in_service": True, "model": model})
        return serial


def spot(place: str) -> dict[str, Any]:
    """A place as a question writes it."""
    role, _, name = place.partition(".")
    return {"role": role, "place": name} if name else {"role": role}


class Writer:
    """Writes worlds down, each fact in one of the ways in which a caller may say it."""

    def __init__(self, rng: Random, catalogue: Document) -> None:
        self.rng = rng
        self.catalogue = catalogue
        self.serials = 0

    def stated(self, world: World) -> Asked:
        """The world as a question with nothing left unknown."""
        unit = {"serial": plain_serials.written(self.catalogue, world.model, world.key)}
        if chance(self.rng, 0.2):
            unit["model"] = world.model
        asked = Asked(self.catalogue, {"unit": {**unit, "boards": []}, "boards": []})
        asked.question["assume"] = "nothing" if chance(self.rng, 0.3) else "usual"
        asked.unit.update({"made_on": world.day, "market": world.market})
        if chance(self.rng, 0.3):
            self.record_unit(asked, world.model)
        for place, board in world.boards.items():
            self.state(asked, place, board)
        self.pair_up(asked, world)
        return asked

    def record_unit(self, asked: Asked, model: str) -> None:
        """Let the ledger say what the caller then need not."""
        record = {"registered": True, "in_service": True, "model": model, "boards": {}, "changed": []}
        for fact in ("made_on", "market"):
            record[fact] = asked.unit[fact]
            if chance(self.rng, 0.5):
                del asked.unit[fact]
        asked.records["units"][asked.unit["serial"]] = record

    def state(self, asked: Asked, place: str, board: Board | None) -> None:
        if board is None:
            asked.unit["boards"].append({**spot(place), "empty": True})
            return
        entry = {**spot(place), "part": board.part}
        binding = self.binding(board)
        if binding:
            held = self.held(asked, board)
            # A reading of the board that stays is a word about the unit, too: none here speaks against it.
            own = board.proposed or held.get("holds") in (None, asked.unit["serial"])
            read = chance(self.rng, 0.4) and own
            said = {**binding, **held} if board.proposed or not read else binding
            entry["read" if read else "claimed"] = said
        if board.release:
            entry.setdefault("read" if "read" in entry else "claimed", {})["release"] = board.release
        if board.condition != "usable":
            entry.setdefault("claimed", {})["condition"] = board.condition
        if board.introduced != "moved_pair" and (board.introduced == "yes" or not board.proposed):
            self.introduce(entry, board)
        (asked.question["boards"] if board.proposed else asked.unit["boards"]).append(entry)
        if board.proposed and chance(self.rng, 0.3):
            self.record_board(asked, entry)

    def introduce(self, entry: dict[str, Any], board: Board) -> None:
        part = next(each for each in self.catalogue["parts"] if each["number"] == board.part)
        if part.get("binding") == "follows":
            target = entry.setdefault("claimed", {}) if chance(self.rng, 0.3) else entry
            target["introduced"] = board.introduced == "yes"

    def binding(self, board: Board) -> dict[str, Any]:
        if board.binding == UNBOUND:
            return {}
        if board.binding == BLANK:
            return {"binding": BLANK}
        return {"binding": "bound", "bound_model": board.binding}

    def held(self, asked: Asked, board: Board) -> dict[str, str]:
        part = next(each for each in self.catalogue["parts"] if each["number"] == board.part)
        names = part.get("binding") == "names" and board.binding != BLANK
        return {"holds": asked.holder(board.holds, board.binding)} if names else {}

    def new_serial(self) -> str:
        self.serials += 1
        return f"{plain_serials.BOARD_PREFIX}{self.serials:05d}"

    def record_board(self, asked: Asked, entry: dict[str, Any]) -> None:
        """Move what is said of a proposed board into the ledger."""
        serial = self.new_serial()
        record: dict[str, Any] = {"part": entry.pop("part")}
        said = entry.pop("read", None) or entry.pop("claimed", {})
        if "binding" in said:
            record["binding"] = {"values": [said.get("bound_model", BLANK)]}
        if "holds" in said:
            record["held_serial"] = said["holds"]
            if said["holds"]:
                record["holder_in_service"] = said["holds"] != asked.holder("idle", said["bound_model"])
        claimed = {**entry.pop("claimed", {}), **said}
        if "release" in claimed:
            record["release"] = claimed["release"]
        if "condition" in claimed:
            record["conditions"] = [claimed["condition"]]
        if "introduced" in claimed:
            entry["introduced"] = claimed["introduced"]
        entry["serial"] = serial
        asked.records["boards"][serial] = record

    def pair_up(self, asked: Asked, world: World) -> None:
        """Put on record the pairs that were introduced to each other in another unit."""
        for place, board in world.boards.items():
            if board is not None and board.introduced == "moved_pair":
                naming, follower = asked.board("brain"), asked.board(place)
                for entry in (naming, follower):
                    if "serial" not in entry:
                        self.record_board(asked, entry)
                asked.records["boards"][follower["serial"]]["partner"] = naming["serial"]
                asked.records["boards"][naming["serial"]]["partner"] = follower["serial"]


def forgettable(asked: Asked) -> list[str]:
    """The facts that a question states and could leave open, by name."""
    unit = [f"unit.{fact}" for fact in ("serial", "model", "made_on", "market") if fact in asked.unit]
    names = ["unit.model"] if "serial" in asked.unit else []
    for entry in [*asked.question["boards"], *asked.unit["boards"]]:
        place = entry["role"] + (f".{entry['place']}" if "place" in entry else "")
        proposed = entry in asked.question["boards"]
        said = {**entry.get("claimed", {}), **entry.get("read", {}), **entry}
        facts = [
            "part",
            "binding",
            "introduced",
            "release",
            *(["holds", "condition"] if proposed else ["board"]),
        ]
        names += [f"{place}.{fact}" for fact in facts if fact in said or fact in ("board", "condition")]
    return sorted({*unit, *names})


def forgotten(asked: Asked, fact: str, rng: Random) -> Asked:
    """The same question without one fact."""
    less = asked.copy()
    subject, _, name = fact.rpartition(".")
    if subject == "unit":
        forget_of_unit(less, name)
        return less
    entry = less.board(subject)
    if name == "board":
        less.unit["boards"].remove(entry)
    elif name == "condition":
        if "serial" not in entry:
            entry.setdefault("claimed", {})["condition"] = "maybe_exposed"
    else:
        forget_of_board(entry, name, rng)
    return less


def forget_of_unit(asked: Asked, name: str) -> None:
    serial = asked.unit.get("serial")
    if name in ("serial", "model") and serial:
        models = plain_serials.models_of(asked.catalogue, asked.unit.pop("serial")) or frozenset()
        asked.records["units"].pop(serial, None)
        if name == "serial" and len(models) == 1:
            asked.unit["model"] = min(models)
        # A board can't be said to hold the serial of a unit that nobody names.
        for entry in (*asked.question["boards"], *asked.unit["boards"]):
            for said in (entry.get("read", {}), entry.get("claimed", {})):
                if said.get("holds") == serial:
                    del said["holds"]
        for record in asked.records["boards"].values():
            if record.get("held_serial") == serial:
                del record["held_serial"]
    if name != "serial":
        asked.unit.pop(name, None)


def forget_of_board(entry: dict[str, Any], name: str, rng: Random) -> None:
    entry.pop(name, None)
    for said in (entry.get("read", {}), entry.get("claimed", {})):
        if name == "binding":
            bound = said.get("binding") == "bound"
            for key in ("binding", "bound_model", "holds"):
                said.pop(key, None)
            if bound and chance(rng, 0.3):
                said["binding"] = "used"
        else:
            said.pop(name, None)
    for basis in ("read", "claimed"):
        if not entry.get(basis, True):
            del entry[basis]


def told(asked: Asked, fact: str, value: str, facts: dict[str, str]) -> Asked:
    """The same question with one more fact stated, as it is in a world with these facts."""
    more = asked.copy()
    subject, _, name = fact.rpartition(".")
    if fact == "unit.serial":
        more.unit["serial"] = plain_serials.written(asked.catalogue, facts["unit.model"], int(value))
    elif subject == "unit":
        more.unit[name] = value
    else:
        tell_of_board(more, more.board(subject), name, value, facts.get(f"{subject}.binding", ""))
    return more


def tell_of_board(asked: Asked, entry: dict[str, Any], name: str, value: str, binding: str) -> None:
    if name == "part":
        entry["part"] = value
    elif name == "introduced":
        entry.get("claimed", {}).pop("introduced", None)
        entry["introduced"] = value == "yes"
    elif name == "condition":
        entry.setdefault("claimed", {})["condition"] = value
    elif name == "release":
        entry.setdefault("read", {})["release"] = value
    elif name == "binding":
        read = {"binding": BLANK} if value == BLANK else {"binding": "bound", "bound_model": value}
        entry.setdefault("read", {}).update(read)
    else:
        entry.setdefault("read", {})["holds"] = asked.holder(value, binding)
