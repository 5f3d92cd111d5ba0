"""What is said of the software of a machine: the set that it ends with, or what stands in the way."""

from __future__ import annotations

from collections.abc import Mapping

SUMMARIES: Mapping[str, str] = {
    "nothing_to_do": "The software in your {unit} works together as it is. {target}",
    "planned": "The software in your {unit} can be brought to versions that work together. {target} {effort}",
    "no_plan": "There is no order of loading after which the software in your {unit} works together. {why}",
    "cannot_tell": "We cannot tell yet how the software in your {unit} can be made to work together. {cause}",
}
"""By outcome."""

CAUSES: Mapping[str, str] = {
    "out_of_scope": "Our papers do not say which software versions work together on it.",
    "contradiction": "What is said of it contradicts itself, and has to be put right first.",
    "worlds_differ": "It depends on what is on the boards now: have them read out.",
    "bound_exceeded": "There are too many possibilities: have the boards read out.",
}
"""Why it cannot be told."""

TARGET = "The versions are {set}."
"""What the boards carry at the end."""
ON_BOARD = "{board} {version}"
EFFORT: Mapping[str, str] = {
    "owner": "You can load it yourself, in at most {most} minutes.",
    "dealer": "A dealer loads it, in at most {most} minutes.",
    "maker": "The maker loads it, in at most {most} minutes.",
}
"""By who loads."""
LEFT_OUT = "Our papers do not say what the software of the {board} works together with."

NOTHING_TO_LOAD = "There is nothing to load."
LOAD = "Load {to} into the {board}."
LOAD_OVER = "Load {to} into the {board}, over {over}."

FACTS: Mapping[str, str] = {
    "release_needs": "The {board} with {version} needs the {other} to be at {range}.",
    "release_loads_from": "Version {version} of the {board} can only be loaded over {range}.",
    "release_parts": "Version {version} of the {board} does not run on the part that is fitted.",
    "release_models": "Version {version} of the {board} is not made for {a_unit}.",
    "version_wanted": "The {board} is to end with {range}.",
}
"""What can stand in the way."""
FACT_MEANINGS: Mapping[str, str] = {
    "release_needs": "a release asks for a range of another role's releases",
    "release_loads_from": "a release can only be loaded over a range of others",
    "release_parts": "a release does not run on the part that is there",
    "release_models": "a release is not made for this model",
    "version_wanted": "the release that was asked for",
}
