"""Every code that an answer may carry has words, is explained in openapi.yaml, and comes from somewhere."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import pytest
import yaml

from service.api.problems.kinds import KINDS
from service.domain.terms import StepKind
from service.words.capability_texts import BLOCKERS
from service.words.capability_texts import MEANINGS as BLOCKER_MEANINGS
from service.words.caution_texts import CAUTIONS
from service.words.event_texts import MEANINGS as EVENT_MEANINGS
from service.words.reason_texts import MEANINGS as REASON_MEANINGS
from service.words.reason_texts import REASONS
from service.words.recording_texts import MEANINGS as REFUSAL_MEANINGS
from service.words.sale_texts import MEANINGS as SALE_MEANINGS
from service.words.step_texts import MEANINGS as STEP_MEANINGS
from service.words.step_texts import STEPS
from tests.house.tree import ROOT, parsed, python_files

CODE = re.compile(r"[a-z]+(?:_[a-z]+)+")

EXPLAINED: Mapping[str, Mapping[str, object]] = {
    "reason": REASON_MEANINGS,
    "blocker": BLOCKER_MEANINGS,
    "step": STEP_MEANINGS,
    "caution": CAUTIONS,
    "event": EVENT_MEANINGS,
    "refusal": REFUSAL_MEANINGS,
    "ground of a sale": SALE_MEANINGS,
    "problem": {code: kind for code, kind in KINDS.items() if kind.status != 405},
}
"""The codes of each kind. A 405 answers what is no operation, so no operation of the document can list it."""

RULES = (*python_files("service/domain/rules"), ROOT / "service/domain/fit/grounds.py")
"""Where reasons are found; `model_not_covered` alone is found where a world's outcome is taken."""


def descriptions(node: Any) -> Iterator[str]:
    """Every explaining text of a document."""
    if isinstance(node, dict):
        yield from (value for key, value in node.items() if key == "description" and isinstance(value, str))
        for inner in node.values():
            yield from descriptions(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from descriptions(inner)


@cache
def told() -> frozenset[str]:
    """The codes that openapi.yaml explains: those in back quotes in a description."""
    document = yaml.load((ROOT / "openapi.yaml").read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    return frozenset(code for text in descriptions(document) for code in re.findall(r"`([a-z_]+)`", text))


def codes(tree: ast.AST) -> set[str]:
    """The code-like texts of a piece of code, less those that name a fact: the first of a pair."""
    named = {
        id(node.elts[0]) for node in ast.walk(tree) if isinstance(node, ast.Tuple) and len(node.elts) == 2
    }
    return {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in named
        and CODE.fullmatch(node.value)
    }


def made_by(maker: str, *folders: str) -> set[str]:
    """The code-like texts in the first arguments of every call of `maker`."""
    nodes = (node for path in python_files(*folders) for node in ast.walk(parsed(path)))
    calls = (node for node in nodes if isinstance(node, ast.Call) and node.args)
    return set().union(*(codes(call.args[0]) for call in calls if ast.unparse(call.func) == maker))


@pytest.mark.parametrize(("kind", "code"), [(kind, code) for kind in EXPLAINED for code in EXPLAINED[kind]])
def test_a_code_is_explained_in_the_document(kind: str, code: str) -> None:
    assert code in told(), f"openapi.yaml does not explain the {kind} `{code}`"


def test_every_code_with_a_meaning_has_words_and_the_other_way_round() -> None:
    assert set(REASONS) == set(REASON_MEANINGS)
    assert set(BLOCKER_MEANINGS) <= set(BLOCKERS)
    assert set(STEP_MEANINGS) <= set(STEPS)


def test_the_reasons_with_words_are_those_that_the_rules_find() -> None:
    found = set().union(*(codes(parsed(path)) for path in RULES)) | made_by("finding", "service/domain")
    assert found == set(REASONS)


def test_the_blockers_with_words_are_those_that_capabilities_have() -> None:
    assert made_by("Blocker", "service/domain") <= set(BLOCKER_MEANINGS)
    texts = {
        node.value
        for path in python_files("service/domain/capability")
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.Constant)
    }
    assert set(BLOCKER_MEANINGS) <= texts


def test_the_cautions_with_words_are_those_that_an_answer_may_carry() -> None:
    assert made_by("Caution", "service/domain") == set(CAUTIONS)


def test_the_steps_with_words_are_the_kinds_of_step() -> None:
    assert set(STEP_MEANINGS) == {kind.value for kind in StepKind}


def test_codes_are_told_from_names_of_facts() -> None:
    source = 'finding("role_empty" if a else "not_there", ("unit_model", m), x="plain")'
    assert codes(ast.parse(source)) == {"role_empty", "not_there"}
