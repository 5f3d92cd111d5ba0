"""Every fault that a catalogue file can have, and how it is mended where nothing closer can be said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

MENDS: Final[Mapping[str, str]] = {
    # The text.
    "not_utf8": "save the file as UTF-8",
    "too_big": "split it, or look for something pasted in by mistake",
    "too_deep": "compare the indentation with a file that is right",
    "unreadable": "look at this line and the one before it: indentation, a missing colon, quote or bracket",
    "several_documents": "take the line --- out",
    "alias": "write the value out at each place, without & and *",
    "tag": "take the word with ! out",
    "bad_key": "write a plain word before the colon",
    "duplicate_key": "keep one of the two",
    # The shape.
    "missing_field": "write its name, a colon, and its value",
    "unknown_field": "take it out",
    "wrong_type": "write it in the way that the format says",
    "wrong_value": "write it in the way that the format says",
    "wrong_count": "write another number of them",
    "too_long": "shorten it",
    "out_of_range": "look for a slip of the pen or a wrong unit",
    "repeated": "take one out",
    # Names that nothing has.
    "unknown_market": "define it, or correct the name",
    "unknown_feature": "define it, or correct the name",
    "unknown_accessory": "define it, or correct the name",
    "unknown_role": "define it, or correct the name",
    "unknown_capability": "define it, or correct the name",
    "unknown_family": "define it, or correct the name",
    "unknown_model": "define it, or correct the name",
    "unknown_part": "define it, or correct the name",
    "unknown_release": "state the releases of the role with the role",
    # Software.
    "release_not_a_version": "write it by semantic versioning, as in 1.4.0",
    "releases_out_of_order": "write the oldest first and each version once; build metadata does not count",
    "bad_range": "write it as in >=1.2.0 <2.0.0, or ^1.2.0",
    "range_without_release": "correct the range, or state the release that it means",
    "release_needs_itself": "take it out; from which releases it is loaded is said by loads_from",
    "part_of_other_role": "name parts of this role only",
    "release_not_for_part": "name the part with the release, or correct what the part arrives with",
    # Serial schemes and breaks.
    "bad_scheme": "write it in the way that the format says",
    "scheme_overlap": "tell them apart by a fixed text, a code or a length",
    "two_axes": "write two rows, or leave out the break that the other already says",
    "empty_break": "the first bound must come before the second",
    "overlapping_rows": "let one end before the serial or day from which the other begins",
    "break_unreadable": "read it again from the maker's paper, or state its scheme",
    "break_unordered": "give the scheme an order, or break on the date",
    "break_of_other_model": "write the first serial of a model that the row names, or give each model a row",
    # Parts.
    "duplicate_part": "give each part a number of its own",
    "printed_number_clash": "take it out where it does not belong: by it one would find the wrong board",
    "part_unlisted": "write under fits where it may go, or take it out",
    "replaces_itself": "name the part that it took the place of",
    "replaces_other_role": "a part can only replace one of its own role",
    "replaces_other_binding": "give both the same binding, or list the part by itself",
    "replacement_circle": "take out the line that is wrong, or write both_ways: true where the two are equal",
    "role_not_in_model": "give the model that role, or take it out of this row",
    # Roles and models.
    "role_unused": "name it under the roles of a model, or take it out",
    "connection_circle": "one of them needs no board in between: leave its connection out",
    "connection_missing": "give the model that role too, or a role of its own for boards connected otherwise",
    "two_naming_roles": "one board of a model names it: correct a binding, or take the model out of a list",
    "nothing_to_follow": "list the model with the part that names it, or correct the binding",
    "no_roles": "name its roles, or write covered: false with the family",
    "no_part": "list a part of that role for the model, or write required: false",
    "no_part_with_feature": "state the feature with a part, or do not require it",
    # Money, sales and campaigns.
    "unknown_currency": "write a currency of ISO 4217 in which things are priced: EUR",
    "price_too_fine": "round it to what can be paid in this currency",
    "campaign_of_nothing": "name the models or the parts that it is for",
    "conversion_to_itself": "name the model that the machine is made",
    "conversion_without_price": "write its price, or policy: never",
    "cell_over_pack": "compare volts, ampere-hours and the cell's watt-hours with the pack's label",
    "break_without_models": "name the models whose serials or dates these are",
    "translation_of_nothing": "correct the text before the colon, or take the line out",
    # Capabilities and families.
    "no_hardware": "state the feature with a part of that role, or correct the role",
    "switch_with_amount": "write 1 or 0, or make the capability a count",
    "planned_and_allowed": "planned is for what is not allowed yet: write amount: 0",
    "step_twice": "keep one of the two",
    "step_out_of_order": "write it after the other: the order of procedures is the order of work",
    "wrong_subject": "activate tells with subject what is set up; no other step has one",
    "minutes_reversed": "write the least first, then the most",
    "no_procedure": "write it under procedures, as in {step: mount, who: dealer, minutes: [5, 10]}",
}
