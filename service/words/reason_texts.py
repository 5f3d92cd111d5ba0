"""What each reason says to a customer: the consequence first, then the part of the machine that it is about.

`{board}` is the board's name ("main board"), `{unit}` the model's ("Plover 40"), or just "machine" while that
is open. What begins with `a_`, and `{bound}`, the model that a board was programmed for, has its article.
"""

from __future__ import annotations

from collections.abc import Mapping

REASONS: Mapping[str, str] = {
    "identity_conflict": "The machine goes by different names ({said}). That has to be cleared up before anything is programmed or sold.",
    "unit_out_of_service": "By our records this machine is no longer in service. Please read the serial number on its plate again: that has to be cleared up before anything is fitted or sold.",
    "model_not_covered": "We know the {unit}, but our papers do not cover it, so we can give no answer for it.",
    "role_not_in_model": "It has no place in your {unit}, which has no {board}.",
    "role_not_in_market": "It has no place in your {unit}, which has no {board} in the {market} market.",
    "part_not_listed": "It will not work in your {unit}: the {part} is not the part for that machine, even where the plug fits.",
    "outside_break": "It will not work in your {unit}: the {part} is for machines of that model built earlier or later than yours.",
    "part_not_in_market": "It must not be used in your {unit}: the {part} is not for the {market} market.",
    "bound_to_other_model": "It will not work in your {unit}: this {board} was programmed for {bound}, permanently.",
    "unit_already_disagrees": "Your machine will refuse to run: the {board} that sits in it was programmed for {bound}, and the machine is {a_unit}.",
    "starts_as_another_machine": "The boards agree with each other, but not with your machine: it would start as {bound}, and it is {a_unit}.",
    "boards_disagree": "The machine will refuse to run: its {board} agrees with it, but another board does not.",
    "nothing_assigns_it": "The {board} is blank and has to be assigned its model by another board, and that board is missing.",
    "feature_missing": "It will not work in your {unit}: the machine needs {a_feature}, and the {board} has none.",
    "role_empty": "Your {unit} will not run without {a_board}, and there is none in it.",
    "serial_in_service_elsewhere": "It must not go into your machine: this {board} still carries the serial number of another machine that is in service.",
    "board_scrapped": "This {board} was scrapped and must not be used.",
    "board_failed_test": "This {board} failed its test and must not be used as it is.",
    "exposed_since_test": "This {board} was exposed to water, lightning or fire and has not been tested since. It must not be used before it has passed a test.",
    "own_board_scrapped": "The {board} that sits in your machine was scrapped and must not be used: another one has to take its place.",
    "own_board_failed_test": "The {board} that sits in your machine failed its test and must not be used as it is.",
    "own_board_exposed": "The {board} that sits in your machine was exposed to water, lightning or fire and has not been tested since. The machine must not be used before that board has passed a test.",
    "releases_do_not_go_together": "Your {unit} will not run like this: the software of the {boards} cannot be brought to go together.",
    "must_be_loaded": "The {board} needs other software, so that it goes together with the other boards.",
    "takes_model_permanently": "Once programmed, this {board} permanently belongs to {a_unit}; it can never serve another model afterwards.",
    "serial_must_be_entered": "The serial number of your machine has to be entered into the {board}.",
    "must_be_assigned": "Once programmed, this {board} permanently belongs to {a_unit}; it can never serve another model afterwards.",
    "must_be_introduced": "The {board} and the board that carries the serial number have to be introduced to each other.",
    "must_be_calibrated": "The {board} has to be calibrated.",
    "must_be_activated": "The {board} has to be activated.",
    "needs_a_step": "The {board} needs a further step on the bench.",
    "facts_contradict": "What is known of the {board} contradicts itself ({values}). The record has to be corrected.",
    "claim_contradicted": "What we were told of the {board} does not agree with what is known of it; we go by what is known.",
    "record_contradicted": "The record of the {board} does not agree with what was read from it; we go by the reading.",
    "recorded_in_another_unit": "This {board} is recorded as fitted in another machine and has to be taken out there first.",
    "sits_there_already": "By what we know, this {board} already sits in its place in your machine: there is nothing to take out and nothing to fit.",
    "fitted_here_already": "This {board} is recorded as fitted in this very machine.",
}

SERIALS_DIFFER = "The plate and the main board carry different serial numbers. That has to be cleared up before anything is programmed or sold."
"""Says `identity_conflict` where the witnesses agree on the model and not on the serial."""

WITNESSES: Mapping[str, str] = {
    "plate": "plate",
    "recorded": "our records",
    "papers": "papers",
    "declared": "what we were told",
    "reported": "what the main board reports",
}
"""Who said which model."""

POSSIBLY = "Possibly: {reason}"
"""Before a reason that does not hold in every world that is still possible."""

MEANINGS: Mapping[str, str] = {
    "identity_conflict": "witnesses of the unit's identity exclude each other; the answer is told for all of them",
    "unit_out_of_service": "the unit is recorded as dismantled, scrapped or converted",
    "model_not_covered": "the unit's model is known and this catalogue gives no answers about it (rule 2)",
    "role_not_in_model": "the unit's model has no such role (rule 3)",
    "role_not_in_market": "the unit's model has the role in other markets only (rule 3)",
    "part_not_listed": "the part is not listed for the model, nor does it replace one that is (rule 4)",
    "outside_break": "the part is listed for the model, but not for units of this serial or date (rule 4)",
    "part_not_in_market": "the part is listed, but not for the unit's market (rule 4)",
    "bound_to_other_model": "the proposed board is bound, permanently, to another model (rule 5)",
    "unit_already_disagrees": "a board that stays is bound to another model than the unit's (rule 6)",
    "starts_as_another_machine": "the boards that bind agree on a model that is not the unit's (rule 6)",
    "boards_disagree": "this board agrees with the unit and another one that binds does not (rule 6)",
    "nothing_assigns_it": "a blank board that follows has no naming board beside it (rule 7)",
    "feature_missing": "a board lacks a feature that the model requires in its role (rule 7)",
    "role_empty": "a required place is empty in the resulting set (rule 7)",
    "serial_in_service_elsewhere": "the board holds the serial of a unit in service elsewhere, and the family lets no other be entered (rule 8)",
    "board_scrapped": "the board was scrapped (rule 9)",
    "board_failed_test": "the board failed on test (rule 9)",
    "exposed_since_test": "the board was exposed to water, lightning or fire and has not been tested since (rule 9)",
    "own_board_scrapped": "a board that stays was scrapped; it never decides, and the unit does not run like this",
    "own_board_failed_test": "a board that stays failed on test; it never decides",
    "own_board_exposed": "a board that stays was, or may have been, exposed and has not been tested since; it never decides",
    "releases_do_not_go_together": "no loads lead to a set of releases that goes together; `because`: a smallest set of facts that rules it out (rule 10)",
    "must_be_loaded": "software has to be loaded before the boards' releases go together (rule 10)",
    "takes_model_permanently": "a blank naming board gets the unit's serial, which binds it permanently",
    "serial_must_be_entered": "a bound naming board has to be given the unit's serial",
    "must_be_assigned": "a blank board that follows has to be assigned its model, permanently",
    "must_be_introduced": "a board that follows and the naming board have to be introduced to each other",
    "must_be_calibrated": "the newly fitted board has to be calibrated",
    "must_be_activated": "the newly fitted board has to be activated",
    "needs_a_step": "the newly fitted board needs a further step that the family lists",
    "facts_contradict": "readings or records of this fact contradict each other; correct the record",
    "claim_contradicted": "a claim was overruled by a reading or a record",
    "record_contradicted": "a record was overruled by a reading",
    "recorded_in_another_unit": "the ledger has the board fitted in another unit; it is removed there first",
    "sits_there_already": "the board is recorded or stated to sit in that very place: the answer is about the unit as it is, the board judged as a proposed one",
    "fitted_here_already": "the ledger has the board fitted in another place of this unit",
}
"""The same codes for the developer who reads the document."""
