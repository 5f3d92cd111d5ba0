"""Which event may follow on what is known, by the plain model: said anew, from the trade's side.

Panels and main boards here are of one family, in which another serial may be entered.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tests.recording.model import BINDS, BLANK, STILL, Data, Ledger, blocks, spot

MODELS = frozenset({"plover-40", "plover-60", "*"})


def spoken_of(kind: str, data: Data) -> set[tuple[str, str]]:
    """The boards and units that an event speaks of; a sale only mentions the customer's unit."""
    boards = {block["board"] for block in (data, *data.get("boards", ())) if "board" in block}
    boards |= {data["recorded"]} if "recorded" in data else set()
    boards |= {data["naming"]["board"]} if "naming" in data else set()
    units = {data[name] for name in ("unit", "into") if name in data and kind not in {"sold", "sale_checked"}}
    units |= {data["was"]["unit"]} if "was" in data else set()
    return {("board", serial) for serial in boards} | {("unit", serial) for serial in units}


def may_follow(ledger: Ledger, kind: str, data: Data) -> bool:
    """Whether nothing stands against an event that is no correction."""
    if kind in STILL:
        return kind != "hold_lifted" or data["placed"] in ledger.held(data)
    worked_on = {serial for side, serial in spoken_of(kind, data) if side == "unit"}
    if "was" in data and data["was"]["unit"] != data.get("unit"):
        worked_on.discard(data["was"]["unit"])
    if any(ledger.unit(serial)["ended"] for serial in worked_on):
        return False
    leaves = data.get("board", data.get("recorded")) if kind == "removed" else None
    out = leaves is not None and ledger.sits(leaves) == spot(data["unit"], data)
    if not out and any(ledger.board(s)["scrapped"] for side, s in spoken_of(kind, data) if side == "board"):
        return False
    return all(of_its_kind(ledger, kind, data))


def of_its_kind(ledger: Ledger, kind: str, data: Data) -> Iterator[bool]:
    match kind:
        case "fitted":
            at = spot(data["unit"], data)
            yield ledger.sits(data["board"]) in (None, at)
            yield ledger.there(at) is None
        case "found":
            yield from found(ledger, data)
        case "received":
            yield ledger.sits(data["board"]) is None
        case "returned":
            yield ledger.sits(data["board"]) is None
            yield ledger.board(data["board"])["sold"]
        case "sold":
            board = ledger.board(data["board"])
            yield board["custody"] and not board["sold"] and not board["holds"]
            yield ledger.sits(data["board"]) is None
        case "removed" if "board" not in data:
            unit, place = spot(data["unit"], data)
            yield ledger.unit(unit)["seats"].get(place, "") is not None
            yield data.get("recorded") in (None, ledger.there((unit, place)))
        case _:
            if kind == "converted":
                yield not ledger.unit(data["into"])["registered"]
            for serial, _, block in blocks(data):
                yield met(ledger, serial, spot(data["unit"], block))
            if kind in {"step_started", "step_finished"} and "unit" in data:
                yield step(ledger, kind, data)


def found(ledger: Ledger, data: Data) -> Iterator[bool]:
    was = spot(data["was"]["unit"], data["was"]) if "was" in data else None
    now = spot(data["unit"], data) if "unit" in data else None
    yield ledger.sits(data["board"]) in (None, was, now)
    yield was is None or ledger.there(was) in (None, data["board"])
    yield now is None or ledger.there(now) in (None, data["board"])


def met(ledger: Ledger, serial: str, at: tuple[str, str]) -> bool:
    """Whether a board can be where something is told of it."""
    if ledger.sits(serial) is not None:
        return ledger.sits(serial) == at
    return ledger.there(at) is None and ledger.unit(at[0])["seats"].get(at[1], "") is not None


def step(ledger: Ledger, kind: str, data: Data) -> bool:
    """Whether any way in which the two boards may be lets the tool do it."""
    if data.get("model", ledger.unit(data["unit"])["model"]) is None:
        return True
    may = ledger.board(data["board"])["may"]
    names, follows = data["board"].startswith("M"), data["board"].startswith("P")
    match data["step"]:
        case "enter_serial":
            return names and bool(may & {BLANK, data["model"]})
        case "assign":
            gives = naming(ledger, data["unit"])
            wanted = {data["model"]} if kind == "step_finished" else MODELS
            return follows and BLANK in may and bool(gives & wanted)
        case "introduce":
            return bool(may & ledger.board(data["naming"]["board"])["may"] & MODELS)
        case _:
            return True


def naming(ledger: Ledger, unit: str) -> Any:
    """What the board that names may be bound to; nothing where its place is empty."""
    place = spot(unit, {"role": "main"})
    there = ledger.there(place)
    if there is not None:
        return ledger.board(there)["may"]
    return set() if ledger.unit(unit)["seats"].get(place[1], "") is None else MODELS


class History:
    """All that was told, in order, and what follows from it."""

    def __init__(self) -> None:
        self.told: list[tuple[str, Data]] = []
        self.void: set[int] = set()
        self.now = Ledger()
        self.versions: dict[tuple[str, str], int] = {}

    def takes(self, kind: str, data: Data) -> bool:
        """Whether an event may follow; it is taken if so."""
        if kind == "corrected":
            if not self.can_lose(data):
                return False
            self.void.add(data["withdraws"])
        elif not may_follow(self.now, kind, data) or self.bound_already(kind, data):
            return False
        self.told.append((kind, data))
        for subject in self.subjects(kind, data):
            self.versions[subject] = self.versions.get(subject, 0) + 1
        if kind == "corrected":
            self.now = list(self.ledgers(self.void))[-1]
        else:
            self.now.take(len(self.told), kind, data)
        return True

    def subjects(self, kind: str, data: Data) -> set[tuple[str, str]]:
        """A correction speaks of all that the event it withdraws spoke of."""
        if kind != "corrected":
            return spoken_of(kind, data)
        return spoken_of(kind, data) | spoken_of(*self.told[data["withdraws"] - 1])

    def bound_already(self, kind: str, data: Data) -> bool:
        """Whether the first thing that told of the board's binding told of another model."""
        if kind != "step_finished" or data["step"] not in BINDS:
            return False
        return bool(next(self.bindings(data["board"]), data["model"]) != data["model"])

    def bindings(self, serial: str) -> Iterator[str]:
        for seq, (kind, data) in enumerate(self.told, 1):
            if seq in self.void:
                continue
            if kind == "step_finished" and data["step"] in BINDS and data["board"] == serial:
                yield data["model"]
            for block in (data, *data.get("boards", ())):
                if block.get("board") == serial and block.get("binding") == "bound":
                    yield block["bound_model"]

    def ledgers(self, void: set[int], reading: Data | None = None) -> Iterator[Ledger]:
        """What was known before each event and after the last, had some never been told. A reading of now
        narrows what a board can have been since the event that it sets right."""
        ledger = Ledger()
        for seq, (kind, data) in enumerate(self.told, 1):
            yield ledger
            if seq not in void:
                ledger.take(seq, kind, data)
            if reading and seq >= reading["withdraws"]:
                ever = {"bound": {BLANK, reading.get("bound_model")}, "blank": {BLANK}}.get(
                    reading["binding"]
                )
                board = ledger.board(reading["board"])
                if ever and board["may"] & ever and not board["torn"]:
                    board["may"] = board["may"] & ever
        yield ledger

    def can_lose(self, correction: Data) -> bool:
        seq = correction["withdraws"]
        if not 0 < seq <= len(self.told) or seq in self.void or self.told[seq - 1][0] == "corrected":
            return False
        legal = [self.legal(self.void), self.legal(self.void | {seq}, correction)]
        return not any(
            before and not after and at > seq and at not in self.void
            for at, (before, after) in enumerate(zip(*legal, strict=True), 1)
        )

    def legal(self, void: set[int], reading: Data | None = None) -> list[bool]:
        """For each event, whether it could follow on those before it that were not withdrawn."""
        told = reading if reading and "binding" in reading else None
        return [
            kind == "corrected" or may_follow(ledger, kind, data)
            for ledger, (kind, data) in zip(self.ledgers(void, told), self.told, strict=False)
        ]
