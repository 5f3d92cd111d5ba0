"""The best choice is the best of all: against going through every choice, and a logic program's optimum."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from fractions import Fraction
from itertools import product

import clingo
import pytest

from service.domain.upgrade.choosing import cheapest
from service.domain.upgrade.task import BoundExceeded, Burden, Choice, Option, Task
from tests.upgrade.tasks import task

Rank = tuple[Fraction, int, int, tuple[str, ...]]


def every_choice(of: Task) -> Iterator[Rank]:
    """All choices that are allowed and give what is wanted, as they are compared. It shares no code."""
    for options in product(*of.blocks):
        given = {need for option in options for need in option.gives}
        called = {call for option in options for call in option.calls}
        taken = [thing for option in options for thing, many in option.takes.items() for _ in range(many)]
        if any(taken.count(thing) > there for thing, there in of.stock.items()):
            continue
        if not all(any(given.issuperset(way) for way in ways) for ways in of.wants):
            continue
        burdens = [option.burden for option in options] + [of.shared[call] for call in called]
        money, lasting, minutes = (sum(each[at] for each in burdens) for at in range(3))
        yield Fraction(money), int(lasting), int(minutes), tuple(option.name for option in options)


def rank(choice: Choice) -> Rank:
    return (*choice.burden, tuple(option.name for option in choice.options))


def agrees_with_brute_force(seed: int) -> bool:
    of = task(seed)
    found = cheapest(of)
    best = min(every_choice(of), default=None)
    assert (rank(found) if found else None) == best, f"seed {seed}"
    return found is not None


def test_it_is_the_best_of_all_choices() -> None:
    found = [agrees_with_brute_force(seed) for seed in range(300)]
    assert 100 < sum(found) < 295, "both outcomes are met often"


@pytest.mark.deep
def test_it_is_the_best_of_all_choices_at_length() -> None:
    assert all(agrees_with_brute_force(seed) in (True, False) for seed in range(300, 5_300))


PROGRAM = """
1 { chosen(B,O) : option(B,O) } 1 :- block(B).
called(C) :- chosen(B,O), calls(B,O,C).
given(N) :- chosen(B,O), gives(B,O,N).
fails(W,P) :- way(W,P), part(W,P,N), not given(N).
met(W) :- way(W,P), not fails(W,P).
:- want(W), not met(W).
:- thing(T,M), #sum { 1,B : chosen(B,O), takes(B,O,T) } > M.
#minimize { X@3,B,O : chosen(B,O), money(B,O,X) }.
#minimize { X@3,C : called(C), duemoney(C,X) }.
#minimize { X@2,B,O : chosen(B,O), lasting(B,O,X) }.
#minimize { X@2,C : called(C), duelasting(C,X) }.
#minimize { X@1,B,O : chosen(B,O), minutes(B,O,X) }.
#minimize { X@1,C : called(C), dueminutes(C,X) }.
"""
"""The same choice as a logic program; money is in sixths there, so that it is whole."""


def facts(of: Task) -> str:
    lines = [f"thing({name},{there})." for name, there in of.stock.items()]
    for name, due in of.shared.items():
        lines += [f"duemoney({name},{due.money * 6}).", f"duelasting({name},{due.lasting})."]
        lines += [f"dueminutes({name},{due.minutes})."]
    for at, block in enumerate(of.blocks):
        lines.append(f"block({at}).")
        for option in block:
            key = f"{at},{option.name}"
            lines += [f"option({key}).", f"money({key},{option.burden.money * 6})."]
            lines += [f"lasting({key},{option.burden.lasting}).", f"minutes({key},{option.burden.minutes})."]
            lines += [f"gives({key},{need})." for need in option.gives]
            lines += [f"calls({key},{call})." for call in option.calls]
            lines += [f"takes({key},{thing})." for thing in option.takes]
    for at, ways in enumerate(of.wants):
        lines.append(f"want({at}).")
        for number, way in enumerate(ways):
            lines += [f"way({at},{number}).", *(f"part({at},{number},{need})." for need in way)]
    return "\n".join(lines)


def solved(of: Task) -> list[int] | None:
    """The least costs, weightiest first, as the logic program's solver proves them; None for no model."""
    control = clingo.Control(["--opt-mode=opt"], logger=lambda *_: None)
    control.add("base", [], PROGRAM + facts(of))
    control.ground([("base", [])])
    best: list[int] | None = None
    with control.solve(yield_=True) as models:
        for model in models:
            best = list(model.cost)
    return best


def agrees_with_the_logic_program(seed: int) -> None:
    of = task(seed)
    found, best = cheapest(of), solved(of)
    ours = [found.burden.money * 6, found.burden.lasting, found.burden.minutes] if found else None
    assert ours == best, f"seed {seed}"


@pytest.mark.parametrize("seed", range(20))
def test_a_logic_program_finds_no_better_one(seed: int) -> None:
    agrees_with_the_logic_program(seed)


@pytest.mark.deep
def test_a_logic_program_finds_no_better_one_at_length() -> None:
    for seed in range(20, 2_020):
        agrees_with_the_logic_program(seed)


def cover() -> Task:
    """Weighted set cover where greedy fails: six singletons at 1/i, and one set of all six for 1.1.

    The greedy rule (least cost for each thing newly covered) takes the singletons one after the other and
    ends at 1 + 1/2 + … + 1/6 = 2.45 (textbook example; figures from memory, reckoned anew below).
    """
    wanted = [f"f{i}" for i in range(1, 7)]
    nothing = Option(name="none")
    singles = tuple(
        (nothing, Option(name=f"only-{i}", burden=Burden(Fraction(1, i)), gives=frozenset({f"f{i}"})))
        for i in range(1, 7)
    )
    whole = (nothing, Option(name="all", burden=Burden(Fraction(11, 10)), gives=frozenset(wanted)))
    return Task(blocks=(*singles, whole), wants=tuple((frozenset({need}),) for need in wanted))


def test_the_dear_board_that_does_everything_is_cheaper_than_six_cheap_ones() -> None:
    found = cheapest(cover())
    assert found is not None
    assert found.burden.money == Fraction(11, 10)
    assert sum(Fraction(1, i) for i in range(1, 7)) == Fraction(245, 100), "what greedy comes to"


def test_what_is_called_by_many_is_paid_once() -> None:
    each = tuple(
        (Option(name="swap", burden=Burden(Fraction(1)), calls=frozenset({"session"})),) for _ in range(3)
    )
    found = cheapest(Task(blocks=each, shared={"session": Burden(Fraction(10), 1, 30)}))
    assert found is not None
    assert found.burden == Burden(Fraction(13), 1, 30)


def test_of_equal_cost_the_one_that_can_be_undone_then_the_shorter_then_the_first_by_name() -> None:
    options = (
        Option(name="a", burden=Burden(Fraction(1), 1, 0)),
        Option(name="d", burden=Burden(Fraction(1), 0, 5)),
        Option(name="c", burden=Burden(Fraction(1), 0, 5)),
        Option(name="b", burden=Burden(Fraction(1), 0, 10)),
    )
    found = cheapest(Task(blocks=(options,)))
    assert found is not None
    assert found.options[0].name == "c"


def test_a_thing_of_which_there_is_one_goes_to_one_place() -> None:
    block = (
        Option(name="used", burden=Burden(Fraction(1)), takes={"board": 1}),
        Option(name="new", burden=Burden(Fraction(9))),
    )
    found = cheapest(Task(blocks=(block, block), stock={"board": 1}))
    assert found is not None
    assert found.burden.money == 10


@pytest.mark.parametrize(
    "impossible",
    [
        Task(blocks=((),)),
        Task(blocks=(), wants=((),)),
        Task(blocks=((Option(name="a"),),), wants=((frozenset({"n"}),),)),
        Task(blocks=((Option(name="a", takes={"x": 2}),),), stock={"x": 1}),
    ],
)
def test_there_is_none_where_there_is_none(impossible: Task) -> None:
    assert cheapest(impossible) is None


def test_nothing_to_choose_costs_nothing() -> None:
    found = cheapest(Task(blocks=()))
    assert found == Choice(options=(), burden=Burden())


def test_past_the_bound_it_says_so() -> None:
    many = tuple(
        tuple(
            Option(name=f"{i}", burden=Burden(Fraction(2**at * i)), gives=frozenset({f"n{at}"} if i else ()))
            for i in range(2)
        )
        for at in range(8)
    )
    wants = (tuple(frozenset({f"n{at}"}) for at in range(8)),)
    assert cheapest(Task(blocks=many, wants=wants)) is not None
    with pytest.raises(BoundExceeded):
        cheapest(Task(blocks=many, wants=wants), bound=4)


def test_the_same_task_has_the_same_answer_in_every_process() -> None:
    asked = (
        "from tests.upgrade.tasks import task\n"
        "from service.domain.upgrade.choosing import cheapest\n"
        "print([[o.name for o in c.options] if (c := cheapest(task(s))) else None for s in range(40)])"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", asked],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(said) == 1
