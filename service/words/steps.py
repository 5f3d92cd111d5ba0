"""A step of a plan in words: what is done, by whom, in how many minutes."""

from __future__ import annotations

from service.domain.steps.merging import PlannedStep
from service.words.language import Language
from service.words.names import Names
from service.words.software_texts import LOAD
from service.words.step_texts import BY, BY_EXACTLY, PERMANENT, STEPS, WHO


def step_sentence(planned: PlannedStep, names: Names) -> str:
    """One step as the bench reads it."""
    step = planned.step
    key = "read_out_old" if step.kind == "read_out" and step.old else str(step.kind)
    board = names.place(step.place) if step.place else ""
    if step.place is not None and step.release is not None:
        release = names.catalogue.roles[step.place.role].releases[step.release]
        return names.language.say(LOAD, to=release, board=board)
    text = names.language.say(STEPS[key], board=board, subject=names.own(step.procedure.subject_name))
    return text if step.undoable else f"{text} {names.language.say(PERMANENT)}"


def by_whom(who: str, least: int, most: int, language: Language) -> str:
    """Who does a step, and in how many minutes."""
    text = BY if least < most else BY_EXACTLY
    return language.say(text, who=language.say(WHO[who]), least=str(least), most=str(most))
