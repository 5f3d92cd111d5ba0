"""The same questions given to CP-SAT, which proves what costs least: as choices that we framed, and whole.

The whole question is modelled from the catalogue's own prices, minutes and features, for the one kind of
catalogue that `tests.bench.upgrades` makes; no line of the engine's framing, rules or planner is used.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, NamedTuple

from ortools.sat.python import cp_model

from service.domain.place import Place
from service.domain.terms import StepKind
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.task import Task
from tests.bench.upgrades import money_unit

Sum = Any
"""A variable, or a sum of them; the library's own types are many."""


class Solved(NamedTuple):
    """What the solver found."""

    money: Fraction | None
    """The least there is; None where it proved that there is none."""
    solving: float
    """CPU seconds of the search alone, without making the model."""


def _solved(model: cp_model.CpModel, unit: int) -> Solved:
    """One worker, as we have."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    start = time.process_time()
    status = solver.solve(model)
    spent = time.process_time() - start
    if status == cp_model.INFEASIBLE:
        return Solved(None, spent)
    assert status == cp_model.OPTIMAL
    return Solved(Fraction(round(solver.objective_value), unit), spent)


def least_money(task: Task) -> Solved:
    """Of a choice as we framed it: one option a block, shared burdens once, stock limits."""
    unit, model = money_unit(task), cp_model.CpModel()
    chosen = {
        (at, option.name): model.new_bool_var("") for at, block in enumerate(task.blocks) for option in block
    }
    options = {(at, option.name): option for at, block in enumerate(task.blocks) for option in block}
    for at, block in enumerate(task.blocks):
        model.add_exactly_one(chosen[at, option.name] for option in block)
    called = {name: model.new_bool_var("") for name in task.shared}
    for key, option in options.items():
        for name in option.calls:
            model.add_implication(chosen[key], called[name])
    for ways in task.wants:
        met = [model.new_bool_var("") for _ in ways]
        model.add_bool_or(met)
        for way, var in zip(ways, met, strict=True):
            for need in way:
                giving = [chosen[key] for key, option in options.items() if need in option.gives]
                model.add_bool_or([*giving, var.negated()])
    for thing, there in task.stock.items():
        taking = [
            (chosen[key], option.takes[thing]) for key, option in options.items() if thing in option.takes
        ]
        model.add(sum(var * many for var, many in taking) <= there)
    money = [chosen[key] * int(option.burden.money * unit) for key, option in options.items()]
    money += [called[name] * int(each.money * unit) for name, each in task.shared.items()]
    model.minimize(sum(money))
    return _solved(model, unit)


class Board(NamedTuple):
    """One that may sit in a place."""

    part: str
    blank: bool
    """Ordered new: never bound, never read."""
    release: int | None
    cents: int
    serial: str = ""


SIXTIETHS = 6_000
"""A cent by the minute of an hour."""


@dataclass
class Whole:
    """One whole question as a model: which board sits where, what is loaded, and the work that follows."""

    aim: Aim
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    cost: list[Sum] = field(default_factory=list)
    sits: dict[Place, list[tuple[Board, Sum]]] = field(default_factory=dict)
    kept: dict[Place, Sum] = field(default_factory=dict)
    loaded: dict[Place, Sum] = field(default_factory=dict)

    def least_money(self) -> Solved:
        self.tool = self.model.new_bool_var("")
        self.tested = self.model.new_bool_var("")
        for place in self.aim.hub.places:
            self._fill(place)
        self._limit_stock()
        for name in self.aim.wanted:
            self._want(name)
        self._bind()
        assert self.aim.offers.terms is not None
        self.cost.append(self.tool * int(self.aim.offers.terms.programming_fee * SIXTIETHS))
        self._work(StepKind.SELF_TEST, self.tested)
        self.model.minimize(sum(self.cost))
        return _solved(self.model, SIXTIETHS)

    def _work(self, step: StepKind, done: Sum) -> None:
        procedure = self.aim.hub.procedures[step]
        assert self.aim.offers.terms is not None
        self.cost.append(done * procedure.minutes[1] * int(self.aim.offers.terms.labour_per_hour * 100))
        if procedure.tool:
            self.model.add_implication(done, self.tool)

    def _fill(self, place: Place) -> None:
        parts, model = self.aim.hub.parts, self.model
        own = self.aim.standing.boards[place]
        self.kept[place] = keep = model.new_bool_var("")
        self.sits[place] = [(Board(own.part, False, self.aim.standing.releases.get(place), 0), keep)]
        for each in self.aim.offers.stock[place.role]:
            board = Board(each.part, False, each.release, int(each.price * 100), each.serial)
            self.sits[place].append((board, model.new_bool_var("")))
        for number in self.aim.hub.compiled.parts_of_role[place.role]:
            part = parts[number]
            assert part.price is not None
            board = Board(number, True, part.release, int(part.price * 100))
            self.sits[place].append((board, model.new_bool_var("")))
        model.add_exactly_one(var for _, var in self.sits[place])
        self.cost += [var * board.cents * 60 for board, var in self.sits[place]]
        changed = keep.negated()
        self._work(StepKind.REMOVE, changed)
        self._work(StepKind.MOUNT, changed)
        model.add_implication(changed, self.tested)
        if place.role == "free0":
            self._work(StepKind.CALIBRATE, changed)

    def _limit_stock(self) -> None:
        taken: dict[str, list[Sum]] = {}
        for boards in self.sits.values():
            for board, var in boards:
                if board.serial:
                    taken.setdefault(board.serial, []).append(var)
        for together in taken.values():
            self.model.add_at_most_one(together)

    def _want(self, name: Any) -> None:
        capability = self.aim.hub.compiled.catalogue.capabilities[name]
        for need in capability.hardware:
            for place in (each for each in self.sits if each.role == need.role):
                having = [
                    var
                    for board, var in self.sits[place]
                    if self.aim.hub.parts[board.part].features.get(need.feature)  # type: ignore[index] # a number
                ]
                self.model.add_bool_or(having)
        for role, least in capability.releases.items():
            place = Place(role)
            carrying = [var for board, var in self.sits[place] if (board.release or 0) >= least]
            self.model.add_bool_or([*carrying, self._load(place)])

    def _load(self, place: Place) -> Sum:
        if place not in self.loaded:
            self.loaded[place] = load = self.model.new_bool_var("")
            self._work(StepKind.LOAD, load)
            self.model.add_implication(load, self.tested)
        return self.loaded[place]

    def _bind(self) -> None:
        """A blank main board gets the serial, a blank panel its model; whichever is new is introduced."""
        main, panel = (next(place for place in self.sits if place.role == role) for role in ("main", "panel"))
        blank = {place: sum(var for board, var in self.sits[place] if board.blank) for place in (main, panel)}
        introduced = self.model.new_bool_var("")
        for place in (main, panel):
            self._work(StepKind.READ_OUT, self.kept[place].negated())
            self._work(StepKind.READ_OUT, self._is(blank[place]))
            self.model.add_implication(self.kept[place].negated(), introduced)
        self._work(StepKind.ENTER_SERIAL, self._is(blank[main]))
        self._work(StepKind.ASSIGN, self._is(blank[panel]))
        self._work(StepKind.INTRODUCE, introduced)
        if main not in self.aim.standing.read:
            read = self.model.new_bool_var("")
            self.model.add_bool_or([read, self.kept[main].negated(), self._is(blank[panel]).negated()])
            self._work(StepKind.READ_OUT, read)

    def _is(self, many: Sum) -> Sum:
        """A variable for a sum that is nought or one."""
        var = self.model.new_bool_var("")
        self.model.add(var == many)
        return var
