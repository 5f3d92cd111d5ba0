"""A second mind on what may be done to a machine: it works a plan through and says what is wrong with it.

Its rules are written from the trade (common practice, no source) and the catalogue's plain document, and it
shares no code with the service:

- a board is bound once, and never to another model;
- the board that names is bound by entering the serial; a follower takes its model from it, by programming or,
  where the family has it so, by itself as soon as both have power and the naming board is bound;
- two boards are introduced only when both are bound to one model;
- a place takes one board, and nothing is done to a board that is not there;
- a load puts a release onto a board on which it runs, over one that it is loaded from, and no two boards that
  went together before are at odds after it; at the end the software of all of them goes together.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from tests.oracles.plain_software import Boards, PlainSoftware, versions_in
from tests.oracles.world import BLANK, UNBOUND, Board, Document, World, role_of
from tests.steps.plans import Step


@dataclass(slots=True)
class Piece:
    """A board during the work."""

    policy: str
    binding: str
    holds: str = ""
    introduced: bool = False
    part: str = ""
    release: str = ""


@dataclass(slots=True)
class Bench:
    """The machine on the bench, and what was found wrong so far."""

    document: Document
    world: World
    inside: dict[str, Piece] = field(default_factory=dict)
    waiting: dict[str, Piece] = field(default_factory=dict)
    old: set[str] = field(default_factory=set)
    """Places whose old board may be there still."""
    gone: set[str] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)
    bound_now: bool = False
    at_odds: set[tuple[str, str]] = field(default_factory=set)
    """The boards that did not go together when they were put beside each other."""

    @property
    def model(self) -> Document:
        found: Document = self.document["models"][self.world.model]
        return found

    @property
    def family(self) -> Document:
        found: Document = self.document["families"][self.model["family"]]
        return found

    def wrong(self, step: Step, told: str) -> None:
        self.faults.append(f"{step.kind} {step.place}: {told}")

    # --- what is where --------------------------------------------------------------------------

    def naming(self) -> Piece | None:
        return next((piece for piece in self.inside.values() if piece.policy == "names"), None)

    def here(self, step: Step, policy: str = "") -> Piece | None:
        piece = self.inside.get(step.place)
        if piece is None:
            self.wrong(step, "no board is there")
        elif policy and piece.policy != policy:
            self.wrong(step, f"that board is {piece.policy}")
            return None
        return piece

    def bind(self, piece: Piece, model: str, step: Step) -> None:
        if piece.binding not in (BLANK, model):
            self.wrong(step, f"bound to {piece.binding} for ever, and not to {model}")
        self.bound_now = self.bound_now or piece.binding == BLANK
        piece.binding = model

    def power_on(self, step: Step) -> None:
        """Where followers bind by themselves, they do so beside a naming board that is bound."""
        naming = self.naming()
        if self.family.get("blank_follower_binds") != "at_power_on" or not naming or naming.binding == BLANK:
            return
        for piece in self.inside.values():
            if piece.policy == "follows" and piece.binding == BLANK:
                self.bind(piece, naming.binding, step)
                piece.introduced = True

    # --- the steps ------------------------------------------------------------------------------

    def do(self, step: Step) -> None:
        self.bound_now = False
        getattr(self, step.kind)(step)
        if self.bound_now == step.undoable:
            self.wrong(step, "binds a board and can't be undone" if self.bound_now else "binds nothing")

    def read_out(self, step: Step) -> None:
        if step.old and step.place not in self.old:
            self.wrong(step, "the old board is out already")
        if not step.old:
            self.here(step)

    def remove(self, step: Step) -> None:
        if not step.old or step.place not in self.old:
            self.wrong(step, "no old board is there")
        self.old.discard(step.place)
        self.gone.add(step.place)

    def mount(self, step: Step) -> None:
        if step.old or step.place not in self.waiting:
            self.wrong(step, "no board is at hand for that place")
            return
        if step.place in self.old and self.required(step.place):
            self.wrong(step, "the old board is still there")
        self.old.discard(step.place)
        self.inside[step.place] = self.waiting.pop(step.place)
        self.power_on(step)

    def required(self, place: str) -> bool:
        return bool(self.model["roles"][role_of(place)].get("required", True))

    def enter_serial(self, step: Step) -> None:
        piece = self.here(step, "names")
        if piece is None:
            return
        if piece.holds == "in_service" and self.family.get("another_serial", "refused") == "refused":
            self.wrong(step, "it holds the serial of a machine in service")
        self.bind(piece, self.world.model, step)
        piece.holds = "this_unit"
        self.power_on(step)

    def assign(self, step: Step) -> None:
        piece, naming = self.here(step, "follows"), self.naming()
        if piece is None:
            return
        if naming is None or naming.binding == BLANK:
            self.wrong(step, "no naming board with a model is beside it")
            return
        if piece.binding != BLANK:
            self.wrong(step, "it has its model already")
        self.bind(piece, naming.binding, step)

    def introduce(self, step: Step) -> None:
        piece, naming = self.here(step, "follows"), self.naming()
        if piece is None:
            return
        if naming is None or BLANK in (piece.binding, naming.binding):
            self.wrong(step, "a blank board can't be introduced")
        elif piece.binding != naming.binding:
            self.wrong(step, "the two are of different models")
        piece.introduced = True

    def calibrate(self, step: Step) -> None:
        self.here(step)

    erase_owner_data = calibrate

    def load(self, step: Step) -> None:
        piece, software = self.here(step), PlainSoftware(self.document)
        if piece is None:
            return
        each = software.releases[role_of(step.place)][step.release]
        if not software.usable(self.world.model, step.place, piece.part, step.release):
            self.wrong(step, "it does not run there")
        if piece.release not in versions_in(each.get("loads_from", f"={piece.release}")):
            self.wrong(step, f"it cannot be loaded over {piece.release}")
        at_odds = self.at_odds or set(software.at_odds(self.software()))
        piece.release = step.release
        if not set(software.at_odds(self.software())) <= at_odds:
            self.wrong(step, "boards that went together do not any more")
        self.at_odds = at_odds

    def software(self) -> Boards:
        """The boards that carry software, in their order. One that the model has no place for, there and in
        this market, is none of the machine's."""
        told = self.model["roles"].items()
        roles = {role for role, need in told if self.world.market in need.get("markets", [self.world.market])}
        places = (place for group in PlainSoftware(self.document).groups for place in group)
        there = ((place, self.inside.get(place)) for place in places if role_of(place) in roles)
        return tuple((place, piece.part, piece.release) for place, piece in there if piece is not None)

    def activate(self, step: Step) -> None:
        if step.place:
            self.wrong(step, "it is done to the machine")

    self_test = activate


def bench(document: Document, world: World) -> Bench:
    """The machine before the first step, and the boards that lie ready for it."""
    parts = {part["number"]: part for part in document["parts"]}
    kept = document["families"][document["models"][world.model]["family"]]

    def piece(board: Board) -> Piece:
        policy = parts[board.part].get("binding", "free")
        pair = board.introduced == "moved_pair" and kept.get("matched_pair_moved") == "nothing"
        binding = board.binding if policy != "free" else UNBOUND
        introduced = board.introduced == "yes" or pair
        return Piece(policy, binding, board.holds, introduced, board.part, board.release)

    made = Bench(document, world)
    for place, board in world.boards.items():
        if board is not None and board.proposed:
            made.waiting[place] = piece(board)
            made.old.add(place)
        elif board is not None:
            made.inside[place] = piece(board)
    return made


def faults(document: Document, world: World, plan: list[Step]) -> list[str]:
    """What is wrong with a plan for a world in which the boards fit; empty for a good one."""
    made = bench(document, world)
    for step in plan:
        made.do(step)
    return [*made.faults, *left_undone(made)]


def left_undone(made: Bench) -> list[str]:
    """What keeps the machine from running after the last step, when it is switched on."""
    last = Step(
        kind="switching on",
        place="",
        old=False,
        subject="",
        who="",
        minutes=(0, 0),
        tool=False,
        undoable=True,
        condition=None,
    )
    made.power_on(last)
    found = [f"{place} was never fitted" for place in made.waiting]
    for place, piece in made.inside.items():
        if piece.policy != "free" and piece.binding != made.world.model:
            found.append(f"{place} is bound to {piece.binding}")
        if piece.policy == "follows" and not piece.introduced and made.naming():
            found.append(f"{place} was never introduced")
    loads = PlainSoftware(made.document).loads(made.world.model, made.software())
    return found if loads == 0 else [*found, "the software does not go together"]


def needs_of_free_parts(document: Document, world: World) -> set[tuple[str, str]]:
    """The steps that the family wants after a free part was fitted, each with its place."""
    parts: dict[str, Any] = {part["number"]: part for part in document["parts"]}
    wanted = document["families"][document["models"][world.model]["family"]].get("free_part_needs", {})
    return {
        (step, place)
        for place, board in world.boards.items()
        if board is not None and board.proposed and parts[board.part].get("binding", "free") == "free"
        for step in wanted.get(role_of(place), ())
    }
