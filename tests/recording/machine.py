"""A shop that does anything in any order, legal or not, beside a plain model of what may come of it."""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule
from sqlalchemy import Engine

from service.domain.facts.records import BoardRecord, UnitRecord
from service.domain.terms import Serial
from service.store.append import append
from service.store.engine import reading, writing
from service.store.errors import AlreadyBound, NotCorrectable, NotLegal
from service.store.gather import gather
from service.store.ledger import last_number
from tests.ledger.histories import renamed
from tests.ledger.telling import draft
from tests.recording.lawbook import History
from tests.recording.model import BLANK, EVERYTHING
from tests.recording.shop import law

PARTS = {"M": "MN-4100", "P": "PN-2400", "L": "BP-6200"}
BOARDS = ("M1", "M2", "P1", "P2", "L1")
boards, units = st.sampled_from(BOARDS), st.sampled_from(["U1", "U2", "U3"])
models = st.sampled_from(["plover-40", "plover-60"])
sides = st.sampled_from(["left", "right"])
flags = st.booleans()
seldom = st.integers(0, 3).map(lambda drawn: drawn == 0)
readings: st.SearchStrategy[dict[str, Any]] = st.one_of(
    st.just({}),
    st.sampled_from([{"binding": "blank"}, {"binding": "used"}]),
    models.map(lambda model: {"binding": "bound", "bound_model": model}),
)
hows = st.sampled_from(["started", "finished", "failed"])


def at(board: str, side: str, *, policy: bool = True) -> dict[str, str]:
    """The place that a board is made for."""
    match board[0]:
        case "M":
            told = {"role": "main", "policy": "names"}
        case "P":
            told = {"role": "panel", "policy": "follows"}
        case _:
            told = {"role": "bumper", "place": side, "policy": "free"}
    return told if policy else {name: value for name, value in told.items() if name != "policy"}


class Shop(RuleBasedStateMachine):
    """One shop with boards and units of its own, in a database that others may use too."""

    engine: Engine
    counted: Counter[str]
    """What was tried, of each kind: recorded, or refused."""

    @initialize()
    def open(self) -> None:
        with reading(self.engine) as connection:
            self.before = last_number(connection)
        self.mark = f"-{self.before}"
        self.history = History()
        for board in BOARDS:
            self.tell("registered", board=board, part=PARTS[board[0]])

    def tell(self, kind: str, **data: Any) -> None:
        """Whatever the model says of an event, the ledger says too; and then both know the same."""
        takes = self.history.takes(kind, data)
        self.counted[f"{kind} {'recorded' if takes else 'refused'}"] += 1
        assert self.recorded(kind, data) == takes
        for side, serial in self.history.subjects(kind, data) if takes else ():
            (self.compare_board if side == "board" else self.compare_unit)(serial)

    def recorded(self, kind: str, data: dict[str, Any]) -> bool:
        told = renamed(data, self.mark)
        told |= {name: told[name] + self.before for name in ("withdraws", "placed") if name in told}
        try:
            with writing(self.engine) as connection:
                append(connection, [draft(kind, **told)], judge=law())
        except (NotLegal, AlreadyBound, NotCorrectable):
            return False
        return True

    def compare_board(self, serial: str) -> None:
        with reading(self.engine) as connection:
            marked = Serial(serial + self.mark)
            record = gather(connection, [marked], []).boards[marked]
        expected = {**self.history.now.board(serial), "version": self.history.versions["board", serial]}
        assert self.told_of_board(record) == expected

    def told_of_board(self, record: BoardRecord) -> dict[str, Any]:
        known = record.binding
        listed = EVERYTHING if known.values is None else known.values
        unit = (record.in_unit or "").removesuffix(self.mark)
        return {
            "at": (unit, f"{record.role} {record.place}") if unit else None,
            "custody": record.in_custody,
            "sold": record.sold,
            "tested": record.tested,
            "scrapped": record.conditions == {"scrapped"},
            "conditions": set(record.conditions),
            "holds": {hold.since - self.before: hold.kind for hold in record.holds},
            "may": listed | (EVERYTHING - {BLANK} if known.any_model else frozenset()),
            "torn": known.contradiction,
            "version": record.version,
        }

    def compare_unit(self, serial: str) -> None:
        with reading(self.engine) as connection:
            marked = Serial(serial + self.mark)
            record = gather(connection, [], [marked]).units[marked]
        known, now = self.history.now.unit(serial), self.history.now
        places = {place: (serial, place) for place in known["seats"]}
        assert self.told_of_unit(record) == {
            "registered": known["registered"],
            "in_service": known["registered"] and not known["ended"],
            "model": known["model"],
            "holds": known["holds"],
            "accessories": {name: count for name, count in known["accessories"].items() if count},
            "boards": {place: board for place, spot in places.items() if (board := now.there(spot))},
            "emptied": {place for place, board in known["seats"].items() if board is None},
            "version": self.history.versions["unit", serial],
        }

    def told_of_unit(self, record: UnitRecord) -> dict[str, Any]:
        sitting = {f"{role} {place}": board.serial for (role, place), board in record.boards.items()}
        return {
            "registered": record.registered,
            "in_service": record.in_service,
            "model": record.model,
            "holds": {hold.since - self.before: hold.kind for hold in record.holds},
            "accessories": dict(record.accessories),
            "boards": {place: board.removesuffix(self.mark) for place, board in sitting.items()},
            "emptied": {f"{role} {place}" for role, place in record.emptied},
            "version": record.version,
        }

    # What people do.

    @rule(
        unit=units, model=models, fitted=st.lists(boards, max_size=2, unique_by=lambda b: b[0]), told=readings
    )
    def register(self, unit: str, model: str, fitted: list[str], told: dict[str, Any]) -> None:
        listed = [{"board": board, **at(board, "left"), **told} for board in fitted]
        self.tell("registered", unit=unit, model=model, boards=listed)

    @rule(board=boards, told=readings)
    def receive(self, board: str, told: dict[str, Any]) -> None:
        self.tell("received", board=board, **told)

    @rule(board=boards, told=readings)
    def read_out_on_the_bench(self, board: str, told: dict[str, Any]) -> None:
        self.tell("read_out", board=board, **told)

    @rule(board=boards, unit=units, side=sides, told=readings)
    def read_out(self, board: str, unit: str, side: str, told: dict[str, Any]) -> None:
        self.tell("read_out", board=board, unit=unit, **at(board, side), **told)

    @rule(board=boards, unit=units, side=sides, model=st.none() | models)
    def fit(self, board: str, unit: str, side: str, model: str | None) -> None:
        self.tell("fitted", board=board, unit=unit, **at(board, side), **({"model": model} if model else {}))

    @rule(board=boards, unit=units, side=sides, kept=flags, unreadable=seldom)
    def remove(self, board: str, unit: str, side: str, kept: bool, unreadable: bool) -> None:
        which = {"recorded": board} if unreadable else {"board": board, "kept": kept}
        self.tell("removed", unit=unit, **at(board, side), **which)

    @rule(unit=units, board=boards, side=sides)
    def remove_what_nobody_can_read(self, unit: str, board: str, side: str) -> None:
        self.tell("removed", unit=unit, **at(board, side))

    @rule(board=boards, unreadable=seldom)
    def remove_it_from_where_it_sits(self, board: str, unreadable: bool) -> None:
        sits = self.history.now.sits(board)
        if sits is not None:
            which = {"recorded" if unreadable else "board": board}
            self.tell("removed", unit=sits[0], **at(board, sits[1].partition(" ")[2]), **which)

    @rule(board=boards, was=st.none() | units, now=st.none() | units, side=sides, ours=flags)
    def find(self, board: str, was: str | None, now: str | None, side: str, ours: bool) -> None:
        closed = {"was": {"unit": was, **at(board, side, policy=False)}} if was else {}
        here = {"unit": now, **at(board, side)} if now else {}
        self.tell("found", board=board, in_custody=ours, **closed, **here)

    @rule(how=hows, step=st.sampled_from(["enter_serial", "assign"]), board=boards, unit=units, model=models)
    def bind(self, how: str, step: str, board: str, unit: str, model: str) -> None:
        where = {name: value for name, value in at(board, "left").items() if name != "policy"}
        self.tell(f"step_{how}", step=step, board=board, unit=unit, model=model, **where)

    @rule(how=hows, naming=st.sampled_from(["M1", "M2"]), board=st.sampled_from(["P1", "P2"]), unit=units)
    def introduce(self, how: str, naming: str, board: str, unit: str) -> None:
        beside = {"board": naming, "role": "main"}
        self.tell(f"step_{how}", step="introduce", board=board, unit=unit, role="panel", naming=beside)

    @rule(how=hows, board=st.sampled_from(["M1", "P1"]), unit=st.none() | units)
    def load(self, how: str, board: str, unit: str | None) -> None:
        self.tell(
            f"step_{how}", step="load", board=board, **({"unit": unit, **at(board, "")} if unit else {})
        )

    @rule(unit=units, amount=st.integers(0, 2))
    def fit_accessory(self, unit: str, amount: int) -> None:
        self.tell("accessory_fitted", unit=unit, accessory="battery_pack", amount=amount)

    @rule(board=boards, passed=flags)
    def test(self, board: str, passed: bool) -> None:
        self.tell("tested", board=board, passed=passed)

    @rule(board=boards, certain=flags)
    def expose(self, board: str, certain: bool) -> None:
        self.tell("exposed", board=board, to="water", certain=certain)

    @rule(whom=st.one_of(st.tuples(st.just("board"), boards), st.tuples(st.just("unit"), units)))
    def hold(self, whom: tuple[str, str]) -> None:
        self.tell("hold_placed", hold="recalled", **dict([whom]))

    @rule(data=st.data(), board=boards, guessed=st.integers(1, 40))
    def lift(self, data: st.DataObject, board: str, guessed: int) -> None:
        stands = sorted(self.history.now.board(board)["holds"])
        placed = data.draw(st.sampled_from([*stands, guessed]))
        self.tell("hold_lifted", board=board, placed=placed, confirmed_by="owner", evidence="a letter")

    @rule(board=boards, unit=units)
    def check_a_sale(self, board: str, unit: str) -> None:
        self.tell("sale_checked", board=board, unit=unit, check="c-1")

    @rule(board=boards, unit=units)
    def sell(self, board: str, unit: str) -> None:
        self.tell("sold", board=board, unit=unit, customer="customer-7")

    @rule(board=boards, told=readings)
    def take_back(self, board: str, told: dict[str, Any]) -> None:
        self.tell("returned", board=board, **told)

    @rule(board=boards, told=readings)
    def sell_it_and_take_it_back(self, board: str, told: dict[str, Any]) -> None:
        self.tell("received", board=board)
        self.tell("sold", board=board)
        self.tell("returned", board=board, **told)

    @rule(unit=units, model=models, naming=st.sampled_from(["M1", "M2"]), board=st.sampled_from(["P1", "P2"]))
    def put_a_pair_in(self, unit: str, model: str, naming: str, board: str) -> None:
        self.tell("fitted", board=naming, unit=unit, model=model, role="main", policy="names")
        self.tell("fitted", board=board, unit=unit, model=model, role="panel", policy="follows")
        self.tell("step_finished", step="enter_serial", board=naming, unit=unit, role="main", model=model)
        self.tell("step_finished", step="assign", board=board, unit=unit, role="panel", model=model)
        self.introduce("finished", naming, board, unit)

    @rule(board=boards, unit=units, whole=flags, really=flags)
    def scrap(self, board: str, unit: str, whole: bool, really: bool) -> None:
        if really:
            self.tell("scrapped", **({"unit": unit} if whole else {"board": board}))

    @rule(unit=units, into=units, boards_=st.lists(boards, max_size=1), model=models, really=flags)
    def convert_or_dismantle(
        self,
        unit: str,
        into: str,
        boards_: list[str],
        model: str,
        really: bool,
    ) -> None:
        stay = [{"board": board, **at(board, "left")} for board in boards_]
        if really and unit == into:
            self.tell("dismantled", unit=unit)
        elif really:
            self.tell("converted", unit=unit, into=into, model=model, boards=stay)

    @rule(data=st.data(), told=readings)
    def correct(self, data: st.DataObject, told: dict[str, Any]) -> None:
        self.regret(data, told, data.draw(st.integers(len(BOARDS) + 1, len(self.history.told) + 1)))

    @rule(data=st.data(), told=readings)
    def correct_what_was_just_told(self, data: st.DataObject, told: dict[str, Any]) -> None:
        back = data.draw(st.integers(0, 5))
        self.regret(data, told, max(len(BOARDS) + 1, len(self.history.told) - back))

    @rule(data=st.data(), told=readings, unit=units, model=models, back=st.integers(0, 5))
    def put_a_pair_in_and_regret(
        self, data: st.DataObject, told: dict[str, Any], unit: str, model: str, back: int
    ) -> None:
        """The usual way for something to rest on something."""
        for board in ("M1", "P1"):
            self.remove_it_from_where_it_sits(board, unreadable=False)
        self.put_a_pair_in(unit, model, "M1", "P1")
        self.regret(data, told, max(len(BOARDS) + 1, len(self.history.told) - back))

    def regret(self, data: st.DataObject, told: dict[str, Any], seq: int) -> None:
        """Withdraw an event, and perhaps say what one of its boards is in truth."""
        spoken = (
            self.history.subjects(*self.history.told[seq - 1]) if seq <= len(self.history.told) else set()
        )
        named = sorted(serial for side, serial in spoken if side == "board")
        whom = {"board": data.draw(st.sampled_from(named)), **told} if named and told else {}
        self.tell("corrected", withdraws=seq, reason="mistyped", **whom)
