"""Brute force over worlds: what a question leaves open is filled in every way, and each way is judged.

The domains are the plain ones: an unknown binding is blank, or any model for which the part is listed or
reached, breaks and markets ignored; an unknown part is any of its role; an unknown model any that the serial
can be of, else all, the not covered too; serial and date are cells between the breaks; an unknown market is
any of the model's; what may be on a board is said in `open_software`. A place that nobody speaks of holds its
factory board, if that may be assumed.
"""

from __future__ import annotations

from collections.abc import Collection, Container, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import islice, product

from tests.oracles.evidence import Bindings, combined
from tests.oracles.open_software import OpenSoftware
from tests.oracles.plain_rules import PlainRules
from tests.oracles.plain_serials import break_keys
from tests.oracles.statements import Said, Statements
from tests.oracles.world import BLANK, UNBOUND, Board, Document, Verdict, World, places_of, role_of

Facts = Mapping[str, str]
"""The value of each fact of a world, by the fact's name: `unit.model`, `face.binding`, …"""

UNIT_FACTS = ("unit.model", "unit.serial", "unit.made_on", "unit.market")


class TooManyWorldsError(Exception):
    """The question leaves more open than brute force is given time for."""


@dataclass(frozen=True, slots=True)
class Row:
    """One world: the facts by which it differs from the others, and its verdict."""

    facts: Facts
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Sitting:
    """A way in which one place may be filled."""

    board: Board | None
    factory: bool
    """Nothing says that the board was ever changed."""
    facts: Facts


@dataclass(frozen=True, slots=True)
class Hub:
    """The unit itself in a world."""

    model: str
    key: int
    day: str
    market: str

    def world(self, boards: Mapping[str, Board | None]) -> World:
        return World(model=self.model, key=self.key, day=self.day, market=self.market, boards=boards)


class Table:
    """Every world of a question, judged."""

    def __init__(self, catalogue: Document, question: Document, records: Document, *, most: int) -> None:
        """Raise TooManyWorldsError when the worlds are more than `most`."""
        self.catalogue = catalogue
        self.most = most
        self.said = Statements(catalogue, question, records)
        self.rules = PlainRules(catalogue, break_keys(catalogue))
        self.by_role: dict[str, list[str]] = {role: [] for role in catalogue["roles"]}
        for part in catalogue["parts"]:
            self.by_role[part["role"]].append(part["number"])
        self.open: set[str] = set()
        self.contradicted: set[str] = {"unit.model"} if self.said.unit.conflict else set()
        self.rows: list[Row] = []
        self.fill()

    # --- the worlds -----------------------------------------------------------------------------

    def fill(self) -> None:
        for hub in self.hubs():
            for row in self.rows_of(hub):
                self.rows.append(row)
                if len(self.rows) > self.most:
                    raise TooManyWorldsError

    def hubs(self) -> Iterator[Hub]:
        unit = self.said.unit
        keys = [unit.key] if unit.key is not None else self.cell_keys()
        days = [unit.day] if unit.day is not None else self.cell_days()
        self.note("unit.serial", keys)
        self.note("unit.made_on", days)
        models = sorted(unit.models)
        if not unit.conflict:
            # A stated market leaves the models that are sold there, if there are any.
            models = [model for model in models if unit.market in (None, *self.sold_in(model))] or models
        self.note("unit.model", models)
        for model in models:
            markets = [unit.market] if unit.market else self.sold_in(model)
            self.note("unit.market", markets)
            yield from (Hub(model, *rest) for rest in product(keys, days, markets))

    def note(self, fact: str, values: object) -> None:
        """Remember a fact as open where it may have more than one value."""
        if len(list(values)) > 1:  # type: ignore[call-overload]  # any sized collection of values
            self.open.add(fact)

    def sold_in(self, model: str) -> list[str]:
        return list(self.catalogue["models"][model].get("markets") or self.catalogue["markets"])

    def cell_keys(self) -> list[int]:
        """The least order key of each cell between the serial breaks."""
        return sorted({0, *self.rules.keys.values()})

    def cell_days(self) -> list[str]:
        rows = [row for part in self.catalogue["parts"] for row in part.get("fits", [])]
        ends = ("date_from", "date_before")
        return sorted({"0001-01-01", *(str(row[end]) for row in rows for end in ends if end in row)})

    def rows_of(self, hub: Hub) -> Iterator[Row]:
        here = {
            p for role in self.rules.roles(hub.model, hub.market) for p in places_of(role, self.catalogue)
        }
        ways = {place: self.ways(place, hub) for place in sorted(here | set(self.said.proposed))}
        software = self.software(hub, {place: ways[place] for place in sorted(here)})
        telling = software.telling() if self.rules.covers(hub.model) else {}
        for place, values in telling.items():
            self.note(f"{place}.release", values)
        for chosen in product(*ways.values()):
            sitting = dict(zip(ways, chosen, strict=True))
            there = {place: each.board.part for place, each in sitting.items() if each.board}
            ways_to_carry = software.ways(there)
            for releases in ways_to_carry if telling else islice(ways_to_carry, 1):
                for pairs in self.introductions(sitting):
                    yield self.row(hub, sitting, pairs, releases, {*telling, *software.known})

    def software(self, hub: Hub, ways: Mapping[str, list[Sitting]]) -> OpenSoftware:
        """What may be on the boards of a unit."""
        carrying = [place for place in ways if role_of(place) in self.rules.software.releases]
        parts = {place: sorted({each.board.part for each in ways[place] if each.board}) for place in carrying}
        known = {place: self.spoken(place).release for place in carrying}
        return OpenSoftware(
            self.rules.software,
            hub.model,
            {place: found for place, found in parts.items() if found},
            {place: release for place, release in known.items() if release},
            frozenset(place for place in carrying if place not in self.said.proposed),
        )

    def row(
        self,
        hub: Hub,
        sitting: Mapping[str, Sitting],
        pairs: Mapping[str, str],
        releases: Mapping[str, str],
        told: Collection[str],
    ) -> Row:
        boards = {
            place: replace(each.board, introduced=pairs.get(place, "no"), release=releases.get(place, ""))
            if each.board
            else None
            for place, each in sitting.items()
        }
        values = (hub.model, f"{hub.key:04d}", hub.day, hub.market)
        facts = dict(zip(UNIT_FACTS, values, strict=True))
        for each in sitting.values():
            facts.update(each.facts)
        facts.update({f"{place}.introduced": state for place, state in pairs.items()})
        facts.update({f"{place}.release": releases[place] for place in told if place in releases})
        return Row(facts, self.rules.judge(hub.world(boards)))

    # --- one place ------------------------------------------------------------------------------

    def ways(self, place: str, hub: Hub) -> list[Sitting]:
        if place in self.said.proposed:
            return list(self.proposed_ways(place, self.said.proposed[place]))
        stated = self.said.staying.get(place)
        said = self.main_board_reads(stated or Said(role=role_of(place), proposed=False))
        # A board that reports something sits there, whatever was recorded of its place.
        emptied = stated is None and said.read is None and place in self.said.emptied
        if emptied or said.empty:
            return [empty(place)]
        return list(self.staying_ways(place, said, hub, stated is None))

    def proposed_ways(self, place: str, said: Said) -> Iterator[Sitting]:
        self.note(f"{place}.condition", said.conditions)
        for part, binding in self.parts_and_bindings(place, said, assumed=None):
            for holds in self.holds(place, part, binding, said):
                for condition in said.conditions:
                    board = Board(part=part, binding=binding, holds=holds, condition=condition, proposed=True)
                    yield self.sitting(place, board, factory=False)

    def staying_ways(self, place: str, said: Said, hub: Hub, untouched: bool) -> Iterator[Sitting]:
        assumed = self.said.usual and place not in self.said.changed and not said.from_elsewhere
        made = [p for p in self.by_role[said.role] if self.is_factory(p, hub)] if assumed else []
        # A release that is known to be on the board runs on it.
        factory = [p for p in made if self.could_carry(p, said)]
        if assumed and not factory and untouched and said.read is None:
            need = self.rules.roles(hub.model, hub.market)[said.role]
            if not need.get("required", True):
                yield empty(place)
                return
        model = hub.model if assumed else None
        for part, binding in self.parts_and_bindings(place, said, assumed=model, parts=factory):
            kept = assumed and (part in made or not made)
            board = Board(part=part, binding=binding, holds=self.held_in_place(part, binding, said))
            yield self.sitting(place, board, factory=kept)

    def main_board_reads(self, said: Said) -> Said:
        """What a unit's main board reports is a reading of the board in the naming role."""
        reads = self.said.unit.main_reads
        names = any(self.rules.parts[part].get("binding") == "names" for part in self.by_role[said.role])
        return replace(said, read=reads) if reads and names and said.read is None else said

    def is_factory(self, part: str, hub: Hub) -> bool:
        return self.rules.in_market(part, hub.market) and self.rules.listed(part, hub.world({}))

    def sitting(self, place: str, board: Board, *, factory: bool) -> Sitting:
        facts = {
            "part": board.part,
            "binding": board.binding,
            "holds": board.holds,
            "condition": board.condition,
        }
        return Sitting(board, factory, {f"{place}.{fact}": value for fact, value in facts.items()})

    def parts_and_bindings(
        self, place: str, said: Said, *, assumed: str | None, parts: Container[str] = ()
    ) -> Iterator[tuple[str, str]]:
        """Each part that the board may be of, with each binding it may have then. What is taken for granted,
        that it is one of some `parts`, gives way to what is said."""
        numbers = [said.part] if said.part else self.by_role[said.role]
        if said.part is None and said.binding_is_said:
            # What is said of a binding leaves the parts that can have it, when there are any.
            numbers = [number for number in numbers if self.could_be(number, said)] or numbers
        numbers = [number for number in numbers if self.could_carry(number, said)] or numbers
        numbers = [number for number in numbers if number in parts] or numbers
        self.note(f"{place}.part", numbers)
        for number in numbers:
            values = holding(self.held(number, said), self.bindings(place, number, said, assumed))
            self.note(f"{place}.binding", values)
            yield from ((number, value) for value in sorted(values))

    def could_be(self, part: str, said: Said) -> bool:
        models = self.rules.models_of(part)
        found = self.join(part, said)
        return not self.is_free(part) and bool(found.values) and found.values <= models | {BLANK}

    def could_carry(self, part: str, said: Said) -> bool:
        """Whether what is known to be on a board runs on that part; of an unlisted release nobody knows."""
        listed = self.rules.software.releases.get(said.role, {}).get(said.release or "")
        return listed is None or part in listed.get("parts", [part])

    def is_free(self, part: str) -> bool:
        return str(self.rules.parts[part].get("binding", "free")) == "free"

    def join(self, part: str, said: Said) -> Bindings:
        models = self.rules.models_of(part)
        return combined(models, record=said.record, read=said.read, claimed=said.claimed)

    def bindings(self, place: str, part: str, said: Said, assumed: str | None) -> frozenset[str]:
        if self.is_free(part):
            return frozenset({UNBOUND})
        found = self.join(part, said)
        if found.contradiction:
            self.contradicted.add(f"{place}.binding")
        elif assumed is not None and assumed in found.values:
            # Only a fact against it withdraws an assumption; here that may be the part as well.
            return frozenset({assumed})
        return found.values

    def held(self, part: str, said: Said) -> str | None:
        """Whose serial it holds, as far as somebody says. A record whose binding a reading contradicts, by
        finding the board blank, tells nothing of the serial either."""
        if said.read is None or "holds" in said.read or self.is_free(part):
            return said.holds
        found = self.join(part, said)
        return None if found.contradiction and BLANK in found.values else said.holds

    def holds(self, place: str, part: str, binding: str, said: Said) -> list[str]:
        """Whose serial a proposed board may hold, which only matters on a bound naming board."""
        if self.rules.parts[part].get("binding") != "names" or binding == BLANK:
            return ["nothing"]
        unknown = ["idle", "in_service", *(["this_unit"] if self.said.unit.named else [])]
        held = self.held(part, said)
        values = unknown if held is None else [held]
        self.note(f"{place}.holds", values)
        return values

    def held_in_place(self, part: str, binding: str, said: Said) -> str:
        """A naming board that stays holds the unit's own serial, unless somebody says otherwise."""
        if self.rules.parts[part].get("binding") != "names" or binding == BLANK:
            return "nothing"
        held = self.held(part, said)
        another = self.said.unit.named and held in ("idle", "in_service")
        return str(held) if another else "this_unit"

    # --- pairs ----------------------------------------------------------------------------------

    def introductions(self, sitting: Mapping[str, Sitting]) -> Iterator[dict[str, str]]:
        """Every way in which the followers of a set may be introduced to its naming board."""
        naming = [place for place, each in sitting.items() if self.policy(each.board) == "names"]
        following = [place for place, each in sitting.items() if self.policy(each.board) == "follows"]
        if not naming:
            yield {}
            return
        states = [self.introduced(place, naming[0], sitting) for place in following]
        for place, values in zip(following, states, strict=True):
            self.note(f"{place}.introduced", values)
        yield from (dict(zip(following, values, strict=True)) for values in product(*states))

    def policy(self, board: Board | None) -> str:
        return self.rules.policy(board) if board else "none"

    def introduced(self, follower: str, naming: str, sitting: Mapping[str, Sitting]) -> list[str]:
        one, other = self.spoken(follower), self.spoken(naming)
        if one.introduced is not None:
            return [yes_or_no(one.introduced)]
        if other.proposed and other.introduced:
            return ["yes"]
        if one.proposed or other.proposed:
            return [moved(one, other)]
        return self.introduced_in_place(
            follower, one, other, sitting[follower].factory and sitting[naming].factory
        )

    def spoken(self, place: str) -> Said:
        nothing = Said(role=role_of(place), proposed=False)
        return self.said.proposed.get(place) or self.said.staying.get(place, nothing)

    def introduced_in_place(self, follower: str, one: Said, other: Said, factory: bool) -> list[str]:
        """Whether two boards that both stay were introduced."""
        if follower in self.said.not_introduced:
            return ["no"]
        if follower in self.said.maybe_introduced:
            return ["no", "yes"]
        return ["yes"] if partners(one, other) or factory else ["no", "yes"]


def empty(place: str) -> Sitting:
    return Sitting(None, False, {f"{place}.{fact}": "-" for fact in ("part", "binding", "introduced")})


def holding(held: str | None, values: frozenset[str]) -> frozenset[str]:
    """What is known of the serial it holds leaves bindings: a blank board holds none, a bound one does."""
    if held is None or UNBOUND in values:
        return values
    left = values & {BLANK} if held == "nothing" else values - {BLANK}
    return left or values


def yes_or_no(value: bool) -> str:
    return "yes" if value else "no"


def partners(one: Said, other: Said) -> bool:
    """Whether two boards are recorded as last introduced to each other."""
    pair = (one.serial, other.serial)
    return None not in pair and (one.partner == other.serial or other.partner == one.serial)


def moved(one: Said, other: Said) -> str:
    """Whether a pair of which one at least is put in stands introduced then."""
    if not partners(one, other):
        return "no"
    both = one.proposed and other.proposed
    return "moved_pair" if both and not (one.from_here and other.from_here) else "yes"
