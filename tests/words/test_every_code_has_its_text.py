"""Every code that the domain can produce has its sentence and its meaning, and no text is left over."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from dataclasses import fields
from pathlib import Path
from string import Formatter
from typing import Any

import pytest

from service.domain.fit.effort import UNIT, how
from service.domain.fit.table import EVERY_ATTRIBUTE
from service.domain.gains.performance import Performance
from service.domain.gains.shipping import EDITIONS, ShippingClass
from service.domain.loading.planning import LoadingOutcome
from service.domain.quote.quoting import LineKind
from service.domain.software.facts import FactKind
from service.domain.terms import Cause, Condition, Holds, StepKind, Who
from service.domain.upgrade.approach import Approach
from service.domain.upgrade.upgrading import UpgradeOutcome
from service.words import (
    capability_texts,
    gain_texts,
    reason_texts,
    sale_texts,
    software_texts,
    step_texts,
    upgrade_texts,
)
from service.words.caution_texts import CAUTIONS
from service.words.question_texts import FACTS, HOW, QUESTIONS, VALUES
from tests.words.produced import first_arguments

WORDS = Path(reason_texts.__file__).parent
ALONE = {fact for fact in UNIT if fact.startswith("unit.")}
BLOCKERS_BY_CASE = {"not_allowed_nor_there", "more_than_allowed", "more_reports_error"}
"""Other sentences for `not_allowed_for_model`, by what is allowed and what is there."""


def reasons() -> set[str]:
    return first_arguments("rules", {"finding", "_mismatch"}) | first_arguments("fit", {"finding", "_note"})


def blockers() -> set[str]:
    made = first_arguments("capability", {"Blocker"}) | first_arguments("capability", {"fittings"}, 1)
    return made - {""}


def obstacles() -> set[str]:
    """Those that are written out, those of a permission, and one for each kind of need and of worker."""
    written = first_arguments("upgrade", {"Obstacle"})
    return (
        written
        | {"not_allowed_for_model", "planned", "not_in_market"}
        | {f"no_{kind}" for kind in ("hardware", "release", "accessory")}
        | {f"{who}_works" for who in Who if who is not Who.OWNER}
    )


def of_upgrades() -> set[str]:
    return {*obstacles(), *map(str, Approach), *map(str, UpgradeOutcome), *map(str, LineKind)}


def told_of_upgrades() -> set[str]:
    tables = upgrade_texts.OBSTACLES, upgrade_texts.WAYS, upgrade_texts.SUMMARIES, upgrade_texts.LINES
    assert set(upgrade_texts.WAYS) == set(upgrade_texts.WAY_MEANINGS)
    assert set(upgrade_texts.NEEDS) == set(upgrade_texts.NEED_MEANINGS)
    return {code for table in tables for code in table}


def of_gains() -> set[str]:
    """The figures, the editions of the rules, and the classes of packs that are sound, as bought ones are."""
    classes = {"unknown", *map(str, ShippingClass)} - {"damaged", "for_recycling"}
    return {*(each.name for each in fields(Performance)), *(each.name for each in EDITIONS), *classes}


def told_of_gains() -> set[str]:
    assert set(gain_texts.SHIPPING) == set(gain_texts.CLASS_MEANINGS)
    return {*gain_texts.FIGURE_MEANINGS, *gain_texts.EDITIONS, *gain_texts.SHIPPING}


def asked_facts() -> set[str]:
    return {*UNIT, *EVERY_ATTRIBUTE}


CODES: Mapping[str, tuple[set[str], set[str]]] = {
    "reasons": (reasons(), set(reason_texts.REASONS)),
    "meanings of reasons": (reasons(), set(reason_texts.MEANINGS)),
    "blockers": (blockers() | BLOCKERS_BY_CASE, set(capability_texts.BLOCKERS)),
    "meanings of blockers": (blockers(), set(capability_texts.MEANINGS)),
    "steps": ({*map(str, StepKind), "read_out_old"}, set(step_texts.STEPS)),
    "meanings of steps": (set(map(str, StepKind)), set(step_texts.MEANINGS)),
    "cautions": (first_arguments("cautions.py", {"Caution"}), set(CAUTIONS)),
    "questions": (asked_facts(), set(QUESTIONS)),
    "names of facts": (set(EVERY_ATTRIBUTE) | {fact.removeprefix("unit.") for fact in ALONE}, set(FACTS)),
    "ways to find out": (
        {how(fact, ()) for fact in UNIT}
        | {how(f"main.{name}", proposed) for name in EVERY_ATTRIBUTE for proposed in ((), ("main",))},
        set(HOW),
    ),
    "grounds of a sale": (first_arguments("sale", {"ground"}), set(sale_texts.STAFF)),
    "meanings of those": (first_arguments("sale", {"ground"}), set(sale_texts.MEANINGS)),
    "upgrades": (of_upgrades(), told_of_upgrades()),
    "gains": (of_gains(), told_of_gains()),
    "meanings of what stands in the way of them": (obstacles(), set(upgrade_texts.OBSTACLE_MEANINGS)),
    "software": (
        {*map(str, FactKind), *map(str, LoadingOutcome)},
        {*software_texts.FACTS, *software_texts.SUMMARIES},
    ),
    "values": ({*map(str, Holds), *map(str, Condition), "blank", "yes", "no"}, set(VALUES)),
}
"""What the domain produces, and what there is a text for."""


@pytest.mark.parametrize("kind", CODES)
def test_every_code_has_its_text_and_every_text_its_code(kind: str) -> None:
    produced, said = CODES[kind]
    assert produced == said
    assert len(produced) >= 8


def test_what_rules_software_out_is_explained_and_so_are_the_causes_and_who_loads() -> None:
    assert set(software_texts.FACT_MEANINGS) == set(map(str, FactKind))
    assert set(software_texts.CAUSES) | {"unknown_layout"} == set(map(str, Cause))
    assert set(software_texts.EFFORT) == set(map(str, Who))


def test_codes_are_read_off_the_source() -> None:
    """Each way in which a code gets into a finding is seen."""
    assert {"role_not_in_market", "board_scrapped", "needs_a_step", "must_be_calibrated"} <= reasons()
    assert {"identity_conflict", "model_not_covered", "fitted_here_already"} <= reasons()
    assert {"planned", "does_not_fit", "board_missing"} <= blockers()


TABLES = {
    "reasons": (
        reason_texts.REASONS,
        {
            "board",
            "a_board",
            "boards",
            "unit",
            "a_unit",
            "bound",
            "part",
            "market",
            "a_feature",
            "values",
            "said",
        },
    ),
    "blockers": (
        capability_texts.BLOCKERS,
        {"a_unit", "hardware", "allowed", "board", "an_accessory", "market"},
    ),
    "steps": (step_texts.STEPS, {"board", "subject"}),
    "questions": (QUESTIONS, {"board"}),
    "names of facts": (FACTS, {"board"}),
    "ways to find out": (HOW, set[str]()),
    "cautions": (CAUTIONS, set[str]()),
    "what stands in the way of upgrades": (
        upgrade_texts.OBSTACLES,
        {"a_unit", "a_unit_first", "board", "accessory"},
    ),
    "upgrades": (
        upgrade_texts.SUMMARIES,
        {"unit", "wanted", "needs", "way", "cost", "budget", "worth", "why", "instead"},
    ),
    "software": (software_texts.SUMMARIES, {"unit", "target", "effort", "why", "cause"}),
    "what stands in the way of loading": (
        software_texts.FACTS,
        {"board", "version", "other", "range", "a_unit"},
    ),
    "shipping": (gain_texts.SHIPPING, {"accessory", "energy", "edition"}),
    "values": (VALUES, set[str]()),
}
"""Each table of texts with the facts that its sentences may speak of; each is spoken of."""


@pytest.mark.parametrize("kind", TABLES)
def test_texts_speak_of_the_facts_that_are_given(kind: str) -> None:
    texts, given = TABLES[kind]
    assert {name for text in texts.values() for name in placeholders(text)} == given


def placeholders(text: str) -> set[str]:
    fields = list(Formatter().parse(text))
    assert all(not (spec or conversion) for _, name, spec, conversion in fields if name is not None)
    return {name for _, name, _, _ in fields if name is not None}


def test_no_text_of_the_words_is_left_over() -> None:
    """Every constant of these modules is used in some of them, or in what shows or draws an answer."""
    folders = [WORDS.parent / name for name in ("api", "pictures")]
    sources = [*WORDS.glob("*.py"), *(path for folder in folders for path in folder.rglob("*.py"))]
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sources}
    named = {name for path in WORDS.glob("*.py") for name in constants(trees[path])}
    used = {name for tree in trees.values() for name in loaded(tree)}
    assert len(named) >= 50
    assert named - used == set()


def constants(tree: ast.Module) -> set[str]:
    found: set[str] = set()
    for node in tree.body:
        targets: list[Any] = node.targets if isinstance(node, ast.Assign) else []
        targets += [node.target] if isinstance(node, ast.AnnAssign) else []
        found |= {each.id for each in targets if isinstance(each, ast.Name) and each.id.isupper()}
    return found


def loaded(tree: ast.Module) -> set[str]:
    names = {n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Load)}
    names |= {n.attr for n in ast.walk(tree) if isinstance(n, ast.Attribute)}
    imported = {alias.name for n in ast.walk(tree) if isinstance(n, ast.ImportFrom) for alias in n.names}
    return names | imported
