"""Cautions in our own words: common practice, no source but the signal words (ISO 3864-2, ANSI Z535).

No figure stands here that no source gives: blade-stop times and sensor limits are the maker's to say.
"""

from __future__ import annotations

from collections.abc import Mapping

CAUTIONS: Mapping[str, str] = {
    "makers_manual_first": "The maker's manual, local codes and licensed practice come first; this answer replaces none of them.",
    "do_not_open_the_machine": "Do not open the machine yourself: there are blades, moving parts and a battery inside. Leave it to a dealer.",
    "isolate_and_wait_for_blades": "Before opening the machine, switch it off with its disabling device, take it off the charging station and wait until blades and wheels stand still. Wear cut-resistant gloves and remove or cover the blades.",
    "battery_off_before_boards": "Disconnect the battery before touching boards or connectors, and connect it again only when the covers are closed. Never bridge, open, crush or heat a pack, and never charge a damaged one.",
    "static_discharge": "Static electricity destroys boards: work on a grounded mat with a tested wrist strap, keep the board in its shielding bag until it is fitted, and hold it by the edges.",
    "guard_blades_on_bench": "Motors may start during programming: take the blades off or guard them, lift the drive wheels off the ground, and keep your hands clear.",
    "steady_power_while_programming": "Keep the supply steady while programming, with a charged battery or the supply that the maker names, and do not interrupt it.",
    "read_back_before_binding": "Before a step that cannot be undone, read back the model and serial number and compare them with the plate.",
    "trial_fitting_binds": "Do not fit this board on trial: it takes on the machine's model, permanently, the first time it is switched on.",
    "test_safety_before_return": "After a change of boards or software, test stop button, lift, tilt and collision sensing, blade stop and charging before the machine goes back, and write the results down.",
    "check_seals_before_closing": "Check seals and cable entries, and that everything is dry, before closing.",
    "approval_may_end": "A machine that is converted into another model may lose its conformity marking, its insurance and its warranty. Ask the maker and the insurer first.",
    "approved_packs_only": "Connect only battery packs that the maker approves for this model, matched in age and charge as the maker says, and nothing to a connector that is not in use.",
}

SIGNALS: Mapping[str, str] = {
    "DANGER": "DANGER",
    "WARNING": "WARNING",
    "CAUTION": "CAUTION",
    "NOTICE": "NOTICE",
}
"""The signal words. Other languages have theirs from the translations of the same standards, from memory."""
