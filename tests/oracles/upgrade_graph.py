"""Least costs of upgrades by a graph library: every state of the work is a node, every step an edge.

One run back from all ends gives the least cost of every start. The work goes in the family's order: at each
of its procedures, and each place, a step is taken or left out. What must be done is said of the end alone,
and what may not be done is said at the step; nothing here plans. The steps' own little transitions, the
lists of parts and the sums are written anew from the catalogue's plain document.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

import networkx as nx

from tests.oracles.upgrade_documents import ORDER, Document, Plain, Start

SOURCE, NEW_BOX = "own", "new"
MONEY, LASTING = 10**9, 10**5
"""Steps that last weigh less than the smallest sum of money, minutes less than one such step."""
Cost = tuple[Fraction, int, int]
PlaceName = tuple[str, str]


class Board(NamedTuple):
    """A board in its place, in the middle of the work."""

    part: str
    key: str
    bound: str
    holds: str
    release: str
    partner: str
    """The key of the naming board that it was introduced to."""
    read: bool
    calibrated: bool = False
    erased: bool = False


class State(NamedTuple):
    """A machine in the middle of the work: what comes next, and everything that can still matter."""

    at: int
    tool: bool
    boards: tuple[Board | None, ...]
    read_out: frozenset[int]
    """Places whose old board was read out."""
    packs: int
    touched: bool
    renewed: bool
    finished: frozenset[str]
    """`activate` and `self_test` that were done."""


class Work(NamedTuple):
    """One procedure at one place, in the order of the work."""

    step: str
    at: int
    minutes: int
    charged: bool
    tool: bool


class UpgradeGraph:
    """All work on machines of one model that are to be ones of the target."""

    def __init__(self, told: Document, source: str, target: str, stock: Sequence[Plain]) -> None:
        """Take the catalogue's document, the models, and the boards that are in stock."""
        self.told, self.source, self.target, self.stock = told, source, target, stock
        self.parts = {part["number"]: part for part in told["parts"]}
        self.uses = told["models"][target]["roles"]
        self.family = told["families"][told["models"][target]["family"]]
        self.places = [
            (role, place)
            for role in told["roles"]
            if role in self.uses
            for place in told["roles"][role].get("places", ("",))
        ]
        self.namer = next(at for at, (role, _) in enumerate(self.places) if role == "brain")
        self.terms = told["sale"]["markets"]["north"]
        self.listed = {number for number in self.parts if self._is_listed(number)}
        self.works = list(self._works())
        self.known_steps = {work.step for work in self.works}
        self.steps = {step: getattr(self, f"_{step}") for step in (*ORDER, "read_new")}
        self.back: nx.DiGraph[State] = nx.DiGraph()
        """From each state to those that a step leads from; the costs are the steps'."""

    # What the papers say.

    def _is_listed(self, number: str) -> bool:
        part = self.parts[number]
        if any(self.target in row["models"] for row in part["fits"]):
            return True
        return any(self._is_listed(each["part"]) for each in part.get("replaces", ()))

    def sold(self, number: str) -> bool:
        return number in self.listed and "north" in self.parts[number].get("markets", ("north",))

    def policy(self, board: Board) -> str:
        return str(self.parts[board.part]["binding"])

    def _works(self) -> Iterator[Work]:
        for told in self.family["procedures"]:
            step = told["step"]
            places = range(len(self.places)) if step in EACH_PLACE else (-1,)
            most, charged = told["minutes"][1], told["who"] != "owner"
            yield from (Work(step, at, most, charged, told.get("tool", False)) for at in places)
            if step == "mount":
                read = next(each for each in self.family["procedures"] if each["step"] == "read_out")
                minutes, charged = read["minutes"][1], read["who"] != "owner"
                yield from (Work("read_new", at, minutes, charged, True) for at in places)
            if step == "fit_accessory":
                yield Work(step, -1, most, charged, told.get("tool", False))
        if all(told["step"] != "fit_accessory" for told in self.family["procedures"]):
            yield from (Work("fit_accessory", -1, 0, False, False) for _ in range(2))

    # Costs, in whole numbers: sixtieths of a cent, then what lasts, then minutes.

    def cost(self, work: Work, lasting: bool = False, cents: int = 0) -> int:
        hour = _cents(self.terms["labour_per_hour"])
        money = cents * 60 + (hour * work.minutes if work.charged else 0)
        return money * MONEY + lasting * LASTING + work.minutes

    # The steps.

    def start(self, machine: Start, packs: int = 1) -> Iterator[tuple[State, int]]:
        """How a machine stands before the work, with the tool at hand and without."""
        there = dict(machine)
        boards = tuple(_own(there.get(place)) for place in self.places)
        for tool in (False, True):
            fee = _cents(self.terms["programming_fee"]) * 60 * MONEY if tool else 0
            yield State(0, tool, boards, frozenset(), packs, False, False, frozenset()), fee

    def grow(self, states: Sequence[State]) -> None:
        """Everything that work on these leads to."""
        todo = [state for state in states if state not in self.back]
        self.back.add_nodes_from(todo)
        while todo:
            state = todo.pop()
            for after, cost in self.moves(state):
                if after not in self.back:
                    todo.append(after)
                self.back.add_edge(after, state, weight=cost)

    def moves(self, state: State) -> Iterator[tuple[State, int]]:
        """At the next work at which there is anything to do: do it, or leave it out."""
        for at in range(state.at, len(self.works)):
            work = self.works[at]
            if work.step in MOUNTED and self._beyond_mending(state, work.step):
                return
            onward = state._replace(at=at + 1)
            steps = list(self.steps[work.step](onward, work.at)) if state.tool or not work.tool else []
            if steps:
                yield onward, 0
                yield from ((after, self.cost(work, lasting, cents)) for after, lasting, cents in steps)
                return
        if state.at < len(self.works):
            yield state._replace(at=len(self.works), read_out=frozenset()), 0

    def _beyond_mending(self, state: State, step: str) -> bool:
        """Once boards are mounted: a place that stays empty, a board that stays another model's, a new one
        that can't be read any more; once serials are entered and models assigned: one that stays blank."""
        if state.tool and not self._all_boxes_read(state):
            return True
        may_be = (self.target,) if step in ASSIGNED else ("", self.target)
        return any(
            self.uses[role].get("required", True)
            if board is None
            else self.policy(board) != "free" and board.bound not in may_be
            for (role, _), board in zip(self.places, state.boards, strict=True)
        )

    def _read_out(self, state: State, at: int) -> Iterator[Move]:
        board = state.boards[at]
        if board is not None and self.policy(board) != "free":
            yield state._replace(read_out=state.read_out | {at}), False, 0

    def _remove(self, state: State, at: int) -> Iterator[Move]:
        """Where the tool is at hand, a board that names or follows is read out before it comes out."""
        board = state.boards[at]
        if board is None or (state.tool and self.policy(board) != "free" and at not in state.read_out):
            return
        # Only a board that is not needed may stay out, so that is for the end to say.
        yield _put(state, at, None)._replace(touched=True), False, 0

    def _mount(self, state: State, at: int) -> Iterator[Move]:
        if state.boards[at] is not None:
            return
        for board, cents in self._to_be_had(self.places[at][0], state):
            binds = self.policy(board) != "free"
            after = _put(state, at, board)._replace(touched=True, renewed=state.renewed or binds)
            # What was read out makes no difference any more.
            after = after._replace(read_out=frozenset())
            final, lasting = self._powered(after)
            yield final, lasting, cents

    def _to_be_had(self, role: str, state: State) -> Iterator[tuple[Board, int]]:
        used = {board.key for board in state.boards if board is not None}
        for each in self.stock:
            part = self.parts[each.part]
            if part["role"] == role and each.serial not in used and self.sold(each.part):
                knows = each.knows if self.family["matched_pair_moved"] == "nothing" else ""
                board = Board(each.part, each.serial, each.bound, each.holds, each.release, knows, True)
                yield board, each.price + _companions(part)
        for number, part in self.parts.items():
            if part["role"] == role and "price" in part and self.sold(number):
                board = Board(number, NEW_BOX, "", "", part.get("release", ""), "", False)
                yield board, _cents(part["price"]) + _companions(part)

    def _powered(self, state: State) -> tuple[State, bool]:
        """Where the family says so, a blank follower takes its model from a bound naming board by itself."""
        naming, lasting = state.boards[self.namer], False
        if self.family["blank_follower_binds"] != "at_power_on" or naming is None or not naming.bound:
            return state, lasting
        for at, board in enumerate(state.boards):
            if board is not None and self.policy(board) == "follows" and not board.bound:
                state = _put(state, at, board._replace(bound=naming.bound, partner=naming.key))
                lasting = True
        return state, lasting

    def _read_new(self, state: State, at: int) -> Iterator[Move]:
        board = state.boards[at]
        if board is not None and not board.read and self.policy(board) != "free":
            yield _put(state, at, board._replace(read=True)), False, 0

    def _load(self, state: State, at: int) -> Iterator[Move]:
        board = state.boards[at]
        releases = self.told["roles"][self.places[at][0]].get("releases", ())
        if board is not None and releases and board.release != releases[-1]:
            yield _put(state, at, board._replace(release=releases[-1]))._replace(touched=True), False, 0

    def _all_boxes_read(self, state: State) -> bool:
        """Nothing is bound before each new board was read: new in its box is a claim."""
        boards = [board for board in state.boards if board is not None and board.key == NEW_BOX]
        return all(board.read or self.policy(board) == "free" for board in boards)

    def _enter_serial(self, state: State, at: int) -> Iterator[Move]:
        board = state.boards[at]
        if board is None or self.policy(board) != "names" or board.bound not in ("", self.target):
            return
        refused = board.holds == "in_service" and self.family["another_serial"] != "allowed"
        if not refused and self._all_boxes_read(state):
            named = board._replace(bound=self.target, holds="this", read=board.read or not board.bound)
            after, lasting = self._powered(_put(state, at, named)._replace(touched=True))
            yield after, lasting or not board.bound, 0

    def _assign(self, state: State, at: int) -> Iterator[Move]:
        board, naming = state.boards[at], state.boards[self.namer]
        if board is None or naming is None or self.policy(board) != "follows" or board.bound:
            return
        if naming.bound and naming.read and self._all_boxes_read(state):
            yield _put(state, at, board._replace(bound=naming.bound))._replace(touched=True), True, 0

    def _introduce(self, state: State, at: int) -> Iterator[Move]:
        board, naming = state.boards[at], state.boards[self.namer]
        if board is None or naming is None or self.policy(board) != "follows":
            return
        agree = board.bound and board.bound == naming.bound and board.partner != naming.key
        if agree and self._all_boxes_read(state):
            yield _put(state, at, board._replace(partner=naming.key))._replace(touched=True), False, 0

    def _calibrate(self, state: State, at: int) -> Iterator[Move]:
        board = state.boards[at]
        if board is not None and board.key != SOURCE and self.policy(board) == "free":
            yield _put(state, at, board._replace(calibrated=True))._replace(touched=True), False, 0

    def _erase_owner_data(self, state: State, at: int) -> Iterator[Move]:
        board = state.boards[at]
        if board is not None and not board.erased and board.key != SOURCE and self.policy(board) == "names":
            yield _put(state, at, board._replace(erased=True)), False, 0

    def _fit_accessory(self, state: State, _at: int) -> Iterator[Move]:
        offer = self.told["upgrades"].get("accessories", {}).get("pack")
        if offer is not None:
            yield state._replace(packs=state.packs + 1), False, _cents(offer["price"])

    def _activate(self, state: State, _at: int) -> Iterator[Move]:
        yield state._replace(finished=state.finished | {"activate"}), False, 0

    def _self_test(self, state: State, _at: int) -> Iterator[Move]:
        yield state._replace(finished=state.finished | {"self_test"}), False, 0

    # The ends.

    def is_end(self, state: State, wanted: dict[str, int]) -> bool:
        if state.at < len(self.works) or not self._done(state):
            return False
        return self._whole(state) and all(self.can(state, name, many) for name, many in wanted.items())

    def _done(self, state: State) -> bool:
        """Everything that is owed at the end was done."""
        owed = {"self_test"} if state.touched else set()
        owed |= {"activate"} if state.renewed else set()
        boxes = not state.tool or self._all_boxes_read(state)
        erased = all(board.erased for board in state.boards if board is not None and self._has_data(board))
        return owed & self.known_steps <= state.finished and boxes and (erased or not self._can_erase(state))

    def _has_data(self, board: Board) -> bool:
        """Of a former owner: who had it is told by what it held when it was in stock."""
        return any(each.serial == board.key and each.holds for each in self.stock)

    def _can_erase(self, state: State) -> bool:
        """Erasing alone never calls for the tool."""
        erasing = [work for work in self.works if work.step == "erase_owner_data"]
        return bool(erasing) and (state.tool or not erasing[0].tool)

    def _whole(self, state: State) -> bool:
        """The set runs as a machine of the target: every place in order, the boards of one model."""
        for (role, _), board in zip(self.places, state.boards, strict=True):
            if board is None:
                if self.uses[role].get("required", True):
                    return False
            elif not self._in_order(state, role, board):
                return False
        return True

    def _in_order(self, state: State, role: str, board: Board) -> bool:
        has = self.parts[board.part].get("features", {})
        own = board.key == SOURCE
        if any(feature not in has for feature in self.uses[role].get("features", ())):
            return False
        if own and self.target != self.source and not self.sold(board.part):
            return False
        policy = self.policy(board)
        if policy == "free":
            needed = "calibrate" in self.family.get("free_part_needs", {}).get(role, ())
            return own or board.calibrated or not needed or "calibrate" not in self.known_steps
        if board.bound != self.target:
            return False
        if policy == "follows":
            naming = state.boards[self.namer]
            return naming is not None and board.partner == naming.key
        return board.holds == "this" or self._may_keep_its_serial(board)

    def _may_keep_its_serial(self, board: Board) -> bool:
        """A machine that becomes another model carries the serial that was issued for it."""
        if self.target != self.source:
            return False
        own = board.key == SOURCE
        return own or (board.holds == "idle" and self.family["enter_serial"] != "always")

    def can(self, state: State, name: str, many: int) -> bool:
        """Whether the machine can do it, the model's permission aside."""
        told = self.told["capabilities"][name]
        for need in told["hardware"]:
            boards = [
                b for (role, _), b in zip(self.places, state.boards, strict=True) if role == need["role"]
            ]
            values = [self.parts[b.part].get("features", {}).get(need["feature"], 0) for b in boards if b]
            if (sum(values) if told["kind"] == "count" else min(values, default=0)) < many:
                return False
        for role, least in told.get("releases", {}).items():
            carried = [
                b.release for (r, _), b in zip(self.places, state.boards, strict=True) if r == role and b
            ]
            if not carried or min(carried) < least:
                return False
        return "accessory" not in told or state.packs >= many

    def allowed(self, wanted: dict[str, int]) -> bool:
        """Whether the target may have all of it here."""
        allows = self.told["models"][self.target]["allows"]
        here = [name for name in wanted if "north" in allows[name].get("markets", ("north",))]
        return len(here) == len(wanted) and all(
            allows[name]["amount"] >= many for name, many in wanted.items()
        )

    def least(self, starts: Sequence[Start], wanted: dict[str, int]) -> dict[Start, Cost | None]:
        """The least cost of every start: one run back from all ends."""
        begun = {machine: list(self.start(machine)) for machine in starts}
        self.grow([state for each in begun.values() for state, _ in each])
        if not self.allowed(wanted):
            return dict.fromkeys(starts)
        ends = {state for state in self.back if self.is_end(state, wanted)}
        left = nx.multi_source_dijkstra_path_length(self.back, ends) if ends else {}
        found = {
            machine: [left[state] + fee for state, fee in each if state in left]
            for machine, each in begun.items()
        }
        return {machine: _told(int(min(each))) if each else None for machine, each in found.items()}


Move = tuple[State, bool, int]
"""A state after a step, whether the step lasts, and the cents of what is bought."""
MOUNTED = frozenset(ORDER[ORDER.index("mount") + 1 :])
ASSIGNED = frozenset(ORDER[ORDER.index("assign") + 1 :])
EACH_PLACE = frozenset(
    ("read_out", "remove", "mount", "load", "enter_serial", "assign", "introduce", "calibrate",
     "erase_owner_data")
)  # fmt: skip


def _cents(text: str) -> int:
    return int(Fraction(text) * 100)


def _companions(part: Document) -> int:
    return sum(_cents(each["price"]) for each in part.get("goes_with", ()) if "price" in each)


def _own(plain: Plain | None) -> Board | None:
    if plain is None:
        return None
    partner = SOURCE if plain.introduced else ""
    return Board(plain.part, SOURCE, plain.bound, "", plain.release, partner, plain.was_read)


def _put(state: State, at: int, board: Board | None) -> State:
    return state._replace(boards=(*state.boards[:at], board, *state.boards[at + 1 :]))


def _told(weight: int) -> Cost:
    money, rest = divmod(weight, MONEY)
    lasting, minutes = divmod(rest, LASTING)
    return Fraction(money, 6000), lasting, minutes
