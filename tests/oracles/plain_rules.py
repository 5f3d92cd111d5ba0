"""The rules of fit once more, in the plainest form: one world in, one verdict out.

Written from the meanings alone, to be read beside them. It is the judge that brute force over
worlds uses, and the third voice beside the oracles in SQL and in logic programming.
"""

from __future__ import annotations

from collections.abc import Iterator

from tests.oracles.plain_software import Boards, PlainSoftware
from tests.oracles.world import BLANK, Board, Document, Verdict, World, places_of, role_of


class PlainRules:
    """A judge for one catalogue document. It remembers the reach of each part, and nothing of a world."""

    def __init__(self, document: Document, serial_key: dict[str, int]) -> None:
        """Take a document, and the order key of every serial that stands in one of its breaks."""
        self.document = document
        self.keys = serial_key
        self.parts = {part["number"]: part for part in document["parts"]}
        self.models = document["models"]
        self.reached: dict[tuple[str, str], frozenset[str]] = {}
        self.software = PlainSoftware(document)

    def family(self, model: str) -> Document:
        found: Document = self.document["families"][self.models[model]["family"]]
        return found

    def covers(self, model: str) -> bool:
        return bool(self.family(model).get("covered", True))

    def policy(self, board: Board) -> str:
        return str(self.parts[board.part].get("binding", "free"))

    def roles(self, model: str, market: str) -> dict[str, Document]:
        """The roles that a model has in a market, with what it requires of each."""
        listed = self.models[model].get("roles", {})
        return {role: need for role, need in listed.items() if market in need.get("markets", [market])}

    def steps_back(self, part: str, model: str) -> Iterator[str]:
        """The parts that this one may stand in for directly, on this model."""
        for number, other in self.parts.items():
            for row in other.get("replaces", []):
                if model not in row.get("models", [model]):
                    continue
                if number == part:
                    yield row["part"]
                elif row["part"] == part and row.get("both_ways", False):
                    yield number

    def stands_in_for(self, part: str, model: str) -> frozenset[str]:
        """The part itself, and all that it may stand in for on this model."""
        if (part, model) not in self.reached:
            found, todo = {part}, [part]
            while todo:
                new = set(self.steps_back(todo.pop(), model)) - found
                found |= new
                todo += new
            self.reached[part, model] = frozenset(found)
        return self.reached[part, model]

    def row_holds(self, row: Document, model: str, key: int, day: str) -> bool:
        return (
            model in row["models"]
            and ("serial_from" not in row or self.keys[row["serial_from"]] <= key)
            and ("serial_before" not in row or key < self.keys[row["serial_before"]])
            and ("date_from" not in row or str(row["date_from"]) <= day)
            and ("date_before" not in row or day < str(row["date_before"]))
        )

    def listed(self, part: str, world: World) -> bool:
        """Whether the maker's list names this very part for the unit, its break included; not its market."""
        rows = self.parts[part].get("fits", [])
        return any(self.row_holds(row, world.model, world.key, world.day) for row in rows)

    def in_market(self, part: str, market: str) -> bool:
        return market in self.parts[part].get("markets", [market])

    def may_go(self, part: str, world: World) -> bool:
        return self.in_market(part, world.market) and any(
            self.listed(other, world) for other in self.stands_in_for(part, world.model)
        )

    def models_of(self, part: str) -> frozenset[str]:
        """The models for which a part is listed or reached, whatever the breaks and markets."""
        return frozenset(
            model
            for model in self.models
            for other in self.stands_in_for(part, model)
            for row in self.parts[other].get("fits", [])
            if model in row["models"]
        )

    def bound_elsewhere(self, board: Board, model: str) -> bool:
        return self.policy(board) != "free" and board.binding not in (BLANK, model)

    def failures(self, world: World) -> Iterator[tuple[int, str]]:
        """Every failure of rules 3 to 10, in no order."""
        roles = self.roles(world.model, world.market)
        for place, board in world.boards.items():
            if board is not None and board.proposed:
                yield from self.proposed_failures(place, board, world, roles)
        resulting = {
            place: world.boards.get(place) for role in roles for place in places_of(role, self.document)
        }
        named = any(board and self.policy(board) == "names" for board in resulting.values())
        for place, sitting in resulting.items():
            yield from self.sitting_failures(place, sitting, world.model, roles[role_of(place)], named)
        for boards in self.joined(world, roles):
            if self.software.loads(world.model, boards) is None:
                yield 10, self.told_at(boards, world)

    def joined(self, world: World, roles: dict[str, Document]) -> Iterator[Boards]:
        """The boards of the resulting set whose software has to go together, group by group."""
        for places in self.software.groups:
            there = ((place, world.boards.get(place)) for place in places if role_of(place) in roles)
            yield tuple((place, board.part, board.release) for place, board in there if board is not None)

    def told_at(self, boards: Boards, world: World) -> str:
        """Rule 10 is told of the first board that is put in, else of the first."""
        places = [place for place, _, _ in boards]
        return next((place for place in places if (b := world.boards[place]) and b.proposed), places[0])

    def proposed_failures(
        self, place: str, board: Board, world: World, roles: dict[str, Document]
    ) -> Iterator[tuple[int, str]]:
        """Rules 3, 4, 5, 8 and 9 at one proposed board."""
        if role_of(place) not in roles:
            yield 3, place
        if not self.may_go(board.part, world):
            yield 4, place
        if self.bound_elsewhere(board, world.model):
            yield 5, place
        another = self.family(world.model).get("another_serial", "refused")
        if self.policy(board) == "names" and board.holds == "in_service" and another == "refused":
            yield 8, place
        if board.condition != "usable":
            yield 9, place

    def sitting_failures(
        self, place: str, board: Board | None, model: str, need: Document, named: bool
    ) -> Iterator[tuple[int, str]]:
        """Rules 6 and 7 at one place of the resulting set."""
        if board is None:
            if need.get("required", True):
                yield 7, place
            return
        if self.bound_elsewhere(board, model):
            yield 6, place
        orphan = self.policy(board) == "follows" and board.binding == BLANK and not named
        features = self.parts[board.part].get("features", {})
        if orphan or any(features.get(feature, 0) < 1 for feature in need.get("features", [])):
            yield 7, place

    def takes_programming(self, world: World) -> bool:
        """Whether a world that fits takes the programming tool."""
        family = self.family(world.model)
        roles = self.roles(world.model, world.market)
        places = [place for role in roles for place in places_of(role, self.document)]
        boards = {place: board for place in places if (board := world.boards.get(place))}
        named = any(self.policy(board) == "names" for board in boards.values())
        loading = [row for row in family.get("procedures", []) if row["step"] == "load"]
        by_tool = not loading or any(row.get("tool", False) for row in loading)
        loads = any(self.software.loads(world.model, each) for each in self.joined(world, roles))
        return (by_tool and loads) or any(
            self.board_takes_it(role_of(place), board, family, named) for place, board in boards.items()
        )

    def board_takes_it(self, role: str, board: Board, family: Document, named: bool) -> bool:
        match self.policy(board):
            case "names":
                return board.binding == BLANK or self.wants_serial(board, family)
            case "follows":
                return self.follower_takes_it(board, family, named)
        tools = {row["step"] for row in family.get("procedures", []) if row.get("tool", False)}
        needs = family.get("free_part_needs", {}).get(role, [])
        return board.proposed and not tools.isdisjoint(needs)

    def wants_serial(self, board: Board, family: Document) -> bool:
        """Whether a bound naming board must be given the unit's serial. Where that of a unit in service can't
        be overwritten a board that is put in is refused, and into one that stays nothing is entered."""
        always = family.get("enter_serial", "when_in_service") == "always"
        if board.holds == "in_service":
            return board.proposed or family.get("another_serial", "refused") == "allowed"
        return always and board.holds == "idle"

    def follower_takes_it(self, board: Board, family: Document, named: bool) -> bool:
        at_power_on = family.get("blank_follower_binds", "by_programming") == "at_power_on"
        if board.binding == BLANK:
            return not at_power_on
        again = family.get("matched_pair_moved", "introduce_again") == "introduce_again"
        introduced = board.introduced == "yes" or (board.introduced == "moved_pair" and not again)
        return named and not introduced

    def judge(self, world: World) -> Verdict:
        failures = set(self.failures(world))
        if not self.covers(world.model):
            # A board that is of no use anywhere is refused whatever the unit is.
            failures = {(rule, place) for rule, place in failures if rule in (5, 9)}
            if not failures:
                return Verdict(outcome="out_of_scope", rule=2, deciding=frozenset({(2, "")}))
        if not failures:
            outcome = "needed" if self.takes_programming(world) else "none"
            return Verdict(outcome=outcome, rule=0, deciding=frozenset())
        first = min(rule for rule, _ in failures)
        return Verdict(outcome="no", rule=first, deciding=frozenset(f for f in failures if f[0] == first))
