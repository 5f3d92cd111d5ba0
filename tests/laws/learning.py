"""Walks from a question to one with more facts, each fact as it is in one of the worlds left."""

from __future__ import annotations

from random import Random

from tests.laws.cases import Question
from tests.oracles.answers import against_no_assumption
from tests.oracles.brute_force import Table, TooManyWorldsError
from tests.oracles.questions import told
from tests.oracles.world import UNBOUND


def tellable(table: Table, fact: str, value: str) -> bool:
    """Whether a fact can be stated by itself, and is against no assumption that stands.

    That a board binds nothing is said by its part. Naming a unit is not only to learn its serial: until
    then it is taken not to be the unit whose serial a board holds.
    """
    if value in (UNBOUND, "-") or (fact.endswith(".holds") and value == "nothing"):
        return False
    holder_open = any(each.endswith(".holds") for each in table.open)
    if fact in ("unit.serial", "unit.model") and (holder_open or table.said.unit.conflict):
        return fact == "unit.model" and not table.said.unit.conflict
    return against_no_assumption(table.rows, fact, value)


def replaces_a_word(question: Question, fact: str) -> bool:
    """Whether stating a fact would take back what is stated: a holder of a board that is called blank, or
    another plate than the one that some board is said to hold."""
    boards = [*question.asked.question["boards"], *question.asked.unit.get("boards", ())]
    words = [(board, board.get(basis, {})) for board in boards for basis in ("read", "claimed")]
    if fact.endswith(".holds"):
        return any(word.get("binding") == "blank" for board, word in words if fact.startswith(board["role"]))
    plate = question.asked.unit.get("serial")
    return fact == "unit.serial" and plate is not None and any(w.get("holds") == plate for _, w in words)


def one_more(rng: Random, question: Question, fact: str) -> Question | None:
    """The same question with this fact as it is in a world left, or None where it can't be stated alone."""
    table = question.table
    rows = [row for row in table.rows if fact in row.facts]
    if not rows:
        return None
    facts = rng.choice(rows).facts
    if not tellable(table, fact, facts[fact]) or replaces_a_word(question, fact):
        return None
    asked = told(question.asked, fact, facts[fact], dict(facts))
    try:
        more = Table(asked.catalogue, asked.question, asked.records, most=table.most)
    except TooManyWorldsError:
        return None
    return Question(question.seed, asked, more, question.twists)


def any_more(rng: Random, question: Question) -> tuple[str, Question] | None:
    """One more fact, drawn from those that are open."""
    facts = sorted(question.table.open - question.table.contradicted)
    rng.shuffle(facts)
    for fact in facts:
        more = one_more(rng, question, fact)
        if more is not None:
            return fact, more
    return None
