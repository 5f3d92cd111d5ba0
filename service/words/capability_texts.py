"""What stands between a machine and a capability, as a customer hears it."""

from __future__ import annotations

from collections.abc import Mapping

BLOCKERS: Mapping[str, str] = {
    "not_allowed_for_model": "not allowed for {a_unit}, although the hardware is there",
    "not_allowed_nor_there": "not allowed for {a_unit}",
    "more_than_allowed": "only {allowed} allowed for {a_unit}, although the hardware has {hardware}",
    "more_reports_error": "only {allowed} allowed for {a_unit}, although the hardware has {hardware}; it reports an error when more is connected, so do not connect more",
    "hardware_missing": "the hardware is not there",
    "software_too_old": "the software of the {board} is too old",
    "accessory_missing": "it needs {an_accessory}",
    "boards_disagree": "the machine refuses to run while its boards disagree",
    "board_missing": "the machine will not run without a board that is missing",
    "does_not_fit": "the machine will not run with this set of boards",
    "not_in_market": "not in the {market} market",
    "planned": "announced for a later release, not available now",
}

MEANINGS: Mapping[str, str] = {
    "not_allowed_for_model": "the model is not allowed it, or not as much as the hardware has; no part sold changes that",
    "hardware_missing": "no board fitted has the hardware",
    "software_too_old": "it needs a newer release on a board",
    "accessory_missing": "it needs an accessory that is not fitted",
    "boards_disagree": "the boards that bind do not agree, so the unit refuses to run",
    "board_missing": "a board that the model requires is missing, so the unit does not run",
    "does_not_fit": "the set of boards was refused for another reason, so nothing is available",
    "not_in_market": "the permission is not valid in the unit's market",
    "planned": "may come with a release; not available now",
}
"""The codes for the developer who reads the document."""

PERHAPS = "perhaps {blocker}"
