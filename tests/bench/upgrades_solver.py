"""The same choice given to CP-SAT: one option a block, shared burdens once, stock limits, least money."""

from __future__ import annotations

from fractions import Fraction

from ortools.sat.python import cp_model

from service.domain.upgrade.task import Task
from tests.bench.upgrades import money_unit


def least_money(task: Task) -> Fraction | None:
    """The least money of a task as the solver proves it; None where it proves that there is no choice."""
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
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status == cp_model.OPTIMAL
    return Fraction(round(solver.objective_value), unit)
