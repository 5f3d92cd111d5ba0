"""What is said of upgrades: the consequence first, then what stands in the way or what it takes."""

from __future__ import annotations

from collections.abc import Mapping

SUMMARIES: Mapping[str, str] = {
    "already": "Your {unit} can do that already: {wanted}.",
    "possible": "Yes, your {unit} can have this: {wanted}. {needs} {way} {cost} {budget} {worth}",
    "possible_not_worth_it": "It can be done, but it is hardly worth it. {needs} {way} {cost} {budget} {instead}",
    "not_possible": "Your {unit} cannot have this: {wanted}. {why} {instead}",
    "cannot_tell": "We cannot tell yet whether your {unit} can have this: {wanted}.",
}
"""By outcome."""

ALREADY = "It can do that already."
"""Of one case among others."""

CAUSES: Mapping[str, str] = {
    "out_of_scope": "Our papers do not cover this machine.",
    "contradiction": "What we have on record about it contradicts itself, and has to be put right first.",
    "bound_exceeded": "Too little is known of the machine: give its serial number.",
}
"""Why it cannot be told, where no question settles it."""

WAYS: Mapping[str, str] = {
    "accessory_only": "It takes an accessory and nothing else: {goods}.",
    "software_only": "It takes newer software and nothing else.",
    "other_boards": "It takes other boards: {boards}.",
    "another_model": "The machine would have to become {a_target}, with all the boards that this model has.",
}
MENDING_WAYS: Mapping[str, str] = {
    "accessory_only": "It takes an accessory: {goods}. The boards in the machine have to be programmed too, because they do not work together yet.",
    "software_only": "It takes newer software. The boards in the machine have to be programmed too, because they do not work together yet.",
    "other_boards": "The boards in the machine have to be programmed, because they do not work together yet.",
}
"""The same where the boards that stay are not in order."""
WAY_MEANINGS: Mapping[str, str] = {
    "accessory_only": "accessories are bought and fitted, nothing else changes",
    "software_only": "newer software is loaded, nothing else changes",
    "other_boards": "boards are changed, with whatever software and accessories they need",
    "another_model": "the machine becomes one of another model, where the maker issues a serial for it",
}

NEEDS: Mapping[str, str] = {
    "maker_issues_serial": "The maker has to issue a serial number for this very machine.",
    "dealer_programs": "A dealer has to program the machine.",
    "maker_programs": "The maker has to program the machine.",
}
NEED_MEANINGS: Mapping[str, str] = {
    "maker_issues_serial": "the maker has to agree and issue a serial for this unit",
    "dealer_programs": "a dealer's programming tool and access are needed",
    "maker_programs": "the maker has to program it",
}

COSTS = "It costs {cost}."
COSTS_BETWEEN = "It costs {least} to {most}, depending on what we do not know yet."
INSTEAD = "A new {model} can do it and costs {cost} with your machine in part exchange."
INSTEAD_WITHOUT = "A new {model} can do it and costs {cost}."
FROM_TO = "{least} to {most}"
"""What something costs where that depends on what is not known: EUR 4,300.00 to EUR 5,117.00."""
OVER_BUDGET = "That is more than the {budget} that may be spent."
MAY_BE_OVER_BUDGET = "That may be more than the {budget} that may be spent."
WORTH = (
    "That is {percent}% of what a new {model} would cost after part exchange ({instead}); up to {limit}% it is "
    "worth it."
)
NOT_WORTH = (
    "That is {percent}% of what a new {model} would cost after part exchange ({instead}); over {limit}% it is "
    "hardly worth it."
)
WITH_AMOUNT = "{name} ({amount})"

OBSTACLES: Mapping[str, str] = {
    "not_allowed_for_model": "It is not allowed for {a_unit}, and no part that is sold changes that.",
    "planned": "It is announced for {a_unit} and not available now.",
    "not_in_market": "It is not allowed for {a_unit} in this market.",
    "never_another_model": "{a_unit_first} cannot be converted into another model.",
    "no_further_model": "There is no other model into which {a_unit} could be converted for this.",
    "no_hardware": "No {board} that may go into {a_unit} has what it takes.",
    "no_release": "There is no software for the {board} of {a_unit} that can do it.",
    "no_accessory": "The accessory for it is not sold: {accessory}.",
    "nothing_fits_there": "A board that {a_unit} needs is not available.",
    "dealer_works": "It takes work that a dealer has to do.",
    "maker_works": "It takes work that the maker has to do.",
    "not_together": "No set of boards for {a_unit} does all of this at once.",
}
OBSTACLE_MEANINGS: Mapping[str, str] = {
    "not_allowed_for_model": "the model is not allowed it, or not as much",
    "planned": "announced for a later release, not available now",
    "not_in_market": "the permission is not valid in the unit's market",
    "never_another_model": "no conversion of this model is allowed",
    "no_further_model": "no conversion of this model is allowed but those that do not help",
    "no_hardware": "no board that may go there has the hardware",
    "no_release": "no release of that role can do it",
    "no_accessory": "the accessory is not sold",
    "nothing_fits_there": "a place of that model can't be filled with any board that can be had",
    "dealer_works": "it takes work that a dealer has to do, and only the owner's was allowed",
    "maker_works": "it takes work that the maker has to do, and that was not allowed",
    "not_together": "each of the things wanted could be had, but no set of boards that can be had gives all of them",
}

LINES: Mapping[str, str] = {
    "part": "{name}",
    "companion": "{name}",
    "accessory": "{name}",
    "serial": "serial number issued by the maker",
    "programming": "programming",
    "labour": "bench work, at most {quantity} minutes",
}
