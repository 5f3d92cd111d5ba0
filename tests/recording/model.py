"""A ledger that is nothing but dicts: what is known after some events, and which event may follow.

It is written from the trade's side and shares nothing with the fold or with the laws of recording. A
board may be blank, of one of two models, or of some other (`*`); `may` are those that are left, and
`torn` says that readings contradict each other. Boards are called after what they are: `M` names, `P`
follows, anything else is free.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Data = Mapping[str, Any]
BLANK, EVERYTHING = "blank", frozenset({"blank", "plover-40", "plover-60", "*"})
STILL = {"hold_placed", "hold_lifted", "sale_checked", "corrected"}
BINDS = {"enter_serial", "assign"}


def new_board() -> dict[str, Any]:
    plain = dict.fromkeys(("custody", "sold", "tested", "scrapped", "torn"), False)
    return {**plain, "at": None, "conditions": {"usable"}, "holds": {}, "may": EVERYTHING}


def new_unit() -> dict[str, Any]:
    plain = dict.fromkeys(("registered", "ended"), False)
    return {**plain, "model": None, "holds": {}, "accessories": {}, "seats": {}}


def blocks(data: Data) -> Iterator[tuple[str, str, Data]]:
    """The boards that an event puts into a place, or meets there: each with its unit, and the block."""
    unit = data.get("into", data.get("unit", ""))
    if "role" in data and "board" in data:
        yield data["board"], unit, data
    if "naming" in data:
        yield data["naming"]["board"], unit, data["naming"]
    for block in data.get("boards", ()):
        yield block["board"], unit, block


def spot(unit: str, block: Data) -> tuple[str, str]:
    return unit, f"{block['role']} {block.get('place', '')}"


class Ledger:
    """What is known, in two dicts."""

    def __init__(self) -> None:
        self.boards: dict[str, dict[str, Any]] = {}
        self.units: dict[str, dict[str, Any]] = {}

    def board(self, serial: str) -> dict[str, Any]:
        return self.boards.setdefault(serial, new_board())

    def unit(self, serial: str) -> dict[str, Any]:
        return self.units.setdefault(serial, new_unit())

    def sits(self, serial: str) -> tuple[str, str] | None:
        """Where a board is, if the unit says so too."""
        at = self.board(serial)["at"]
        return at if at and self.unit(at[0])["seats"].get(at[1]) == serial else None

    def there(self, at: tuple[str, str]) -> str | None:
        """The board that sits in a place; None where it is empty or nobody knows."""
        serial = self.unit(at[0])["seats"].get(at[1])
        return serial if serial and self.sits(serial) == at else None

    def put(self, serial: str, at: tuple[str, str]) -> None:
        self.unit(at[0])["seats"][at[1]] = serial
        self.board(serial)["at"] = at

    # What an event changes.

    def take(self, seq: int, kind: str, data: Data) -> None:
        for serial, unit, block in blocks(data):
            if kind not in {"fitted", "found"}:
                self.met(serial, data["unit"] if kind == "converted" else unit, block, data.get("model"))
            if kind not in {"removed", "found"}:
                self.put(serial, spot(unit, block))
        for block in (data, *data.get("boards", ())):
            if "board" in block:
                self.read(block["board"], block)
        getattr(self, kind, lambda _seq, _data: None)(seq, data)

    def read(self, serial: str, block: Data) -> None:
        board = self.board(serial)
        match block.get("binding"):
            case "bound" if {BLANK, block["bound_model"]} & board["may"] and not board["torn"]:
                board["may"] = frozenset({block["bound_model"]})
            case "blank" if BLANK in board["may"] and not board["torn"]:
                board["may"] = frozenset({BLANK})
            case "bound" | "blank":
                board["may"], board["torn"] = board["may"] | {block.get("bound_model", BLANK)}, True
            case "used" if not board["torn"]:
                board["may"] = (board["may"] - {BLANK}) or (EVERYTHING - {BLANK})

    def met(self, serial: str, unit: str, block: Data, model: str | None) -> None:
        """A board that nobody put where it is met was put there all the same, and may be bound since."""
        if self.board(serial)["at"] != spot(unit, block):
            self.tried(serial, model)
            self.board(serial)["tested"] = False

    def tried(self, serial: str, model: str | None) -> None:
        """Something may have bound the board, if it was blank."""
        board = self.board(serial)
        if BLANK in board["may"] and not board["torn"]:
            board["may"] = board["may"] | {model} if model else EVERYTHING

    def gone(self, serial: str) -> None:
        self.tried(serial, None)
        self.board(serial).update(custody=False, tested=False)

    def registered(self, _: int, data: Data) -> None:
        if "unit" in data:
            told = {"registered": True, "model": data.get("model", self.unit(data["unit"])["model"])}
            self.unit(data["unit"]).update(told)

    def received(self, _: int, data: Data) -> None:
        self.board(data["board"]).update(custody=True, sold=False, tested=False)

    returned = received

    def fitted(self, _: int, data: Data) -> None:
        self.tried(data["board"], data.get("model"))
        self.board(data["board"])["tested"] = False

    def removed(self, _: int, data: Data) -> None:
        self.unit(data["unit"])["seats"][spot("", data)[1]] = None
        if "recorded" in data:
            self.board(data["recorded"])["at"] = None
            self.gone(data["recorded"])
        if "board" in data:
            self.board(data["board"]).update(at=None, custody=True)
            if not data.get("kept", True):
                self.gone(data["board"])

    def found(self, seq: int, data: Data) -> None:
        self.gone(data["board"])
        board = self.board(data["board"])
        board.update(at=None, custody=data["in_custody"], sold=False)
        board["holds"][seq] = "under_query"
        if "was" in data:
            self.unit(data["was"]["unit"])["seats"][spot("", data["was"])[1]] = None
        if "unit" in data:
            self.put(data["board"], spot(data["unit"], data))

    def step_started(self, _: int, data: Data) -> None:
        if data["step"] != "calibrate" and "unit" in data:
            self.tried(data["board"], data.get("model"))

    def step_failed(self, seq: int, data: Data) -> None:
        self.step_started(seq, data)
        self.board(data["board"])["tested"] = False

    def step_finished(self, seq: int, data: Data) -> None:
        self.step_started(seq, data)
        if data["step"] in BINDS:
            self.read(data["board"], {"binding": "bound", "bound_model": data["model"]})

    def tested(self, _: int, data: Data) -> None:
        board = self.board(data["board"])
        if not board["scrapped"]:
            board["conditions"] = {"usable"} if data["passed"] else {"failed"}
            board["tested"] = data["passed"]

    def exposed(self, _: int, data: Data) -> None:
        board = self.board(data["board"])
        if not board["scrapped"]:
            sure: set[str] = set() if data.get("certain", True) else board["conditions"]
            board.update(conditions={"exposed"} | sure, tested=False)

    def scrapped(self, _: int, data: Data) -> None:
        if "board" in data:
            self.board(data["board"]).update(scrapped=True, conditions={"scrapped"}, tested=False)
        else:
            self.unit(data["unit"])["ended"] = True

    def dismantled(self, _: int, data: Data) -> None:
        self.unit(data["unit"])["ended"] = True

    def converted(self, _: int, data: Data) -> None:
        self.unit(data["unit"])["ended"] = True
        self.unit(data["into"]).update(registered=True, model=data["model"])

    def sold(self, _: int, data: Data) -> None:
        self.gone(data["board"])
        self.board(data["board"])["sold"] = True

    def accessory_fitted(self, _: int, data: Data) -> None:
        self.unit(data["unit"])["accessories"][data["accessory"]] = data["amount"]

    def held(self, data: Data) -> dict[int, str]:
        side = self.board(data["board"]) if "board" in data else self.unit(data["unit"])
        holds: dict[int, str] = side["holds"]
        return holds

    def hold_placed(self, seq: int, data: Data) -> None:
        self.held(data)[seq] = data["hold"]

    def hold_lifted(self, _: int, data: Data) -> None:
        self.held(data).pop(data["placed"], None)
