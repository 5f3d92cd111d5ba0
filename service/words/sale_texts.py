"""What the till says: to the staff, and in neutral words to the customer.

INVARIANT: where something is held, or a record speaks of the board being elsewhere, the customer's words
say no more than that something has to be cleared up: nobody is accused at a counter.

`{board}` is the board's name, `{unit}` the model's, or just "machine" while that is open.
"""

from __future__ import annotations

from collections.abc import Mapping

DECISIONS: Mapping[str, str] = {
    "sell": "SELL",
    "sell_with_conditions": "SELL WITH CONDITIONS",
    "ask_first": "ASK FIRST",
    "do_not_sell": "DO NOT SELL",
}

TAKING: Mapping[str, str] = {
    "sell": "TAKE THE JOB",
    "sell_with_conditions": "TAKE THE JOB WITH CONDITIONS",
    "ask_first": "ASK FIRST",
    "do_not_sell": "DO NOT TAKE THE JOB",
}
"""The same for a board that the customer brings."""

TO_CUSTOMER: Mapping[str, str] = {
    "sell": "We can sell you this {board}.",
    "sell_with_conditions": "We can sell you this {board}.",
    "ask_first": "Something has to be cleared up before we can sell you this {board}.",
    "do_not_sell": "We cannot sell you this {board}.",
    "held": "We cannot sell you this {board} today. Something has to be cleared up on our side first, and we are sorry for the wait.",
}
"""The first sentence."""

TO_CUSTOMER_WHO_BRINGS: Mapping[str, str] = {
    "sell": "We can take this {board} in and do the work.",
    "sell_with_conditions": "We can take this {board} in and do the work.",
    "ask_first": "Something has to be cleared up before we can work on this {board}.",
    "do_not_sell": "We cannot work on this {board}.",
    "held": "We cannot work on this {board} today. Something has to be cleared up on our side first, and we are sorry for the wait.",
}

STAFF: Mapping[str, str] = {
    "board_held": "The {board} is held: {holds}. Neither sell nor program it before that is lifted, and tell the customer no more than the words for the customer.",
    "unit_held": "The machine is held: {holds}. Neither sell nor program anything for it before that is lifted, and tell the customer no more than the words for the customer.",
    "donor_held": "The machine that the {board} came out of is held: {holds}. Do not sell the {board} before that is lifted, and tell the customer no more than the words for the customer.",
    "sold_already": "The {board} is recorded as sold. If it lies here all the same, record first how it came back.",
    "scrapped": "The {board} is recorded as scrapped. Only a correction of the record brings it back.",
    "safety_untested": "The {board} was or may have been exposed to water, lightning or fire since its last test, and a safety function sits on it. Test it and record the result before it is sold.",
    "does_not_fit": "It works in no machine that it may be for. The answer about the fit says why.",
    "identity_conflict": "Plate, papers and records name different machines. Clear up first which machine it is.",
    "machine_ended": "The machine is recorded as dismantled, scrapped or converted. Read its plate again, and look at the record.",
    "record_contradicts": "What is recorded contradicts itself or what was read ({facts}). Correct the record first.",
    "fitted_elsewhere": "The {board} is recorded as fitted in machine {units}. Record first where it was found.",
    "recorded_as_ours": "The customer brings a {board} that is recorded as lying in our own shop. Look it up before anything else.",
    "not_recorded_here": "The {board} is not recorded as lying in our shop. Record that it was received, and what was read from it.",
    "part_open": "Look at the number printed on the {board}: it is not settled which part it is.",
    "claims_decide": "What we were told of the {board} makes the difference. Read it out first.",
    "fact_open": "{question} {how}",
    "machine_decides": "From what was told or assumed about the machine, it would not work there, and nobody has read the boards in it. Read them first.",
    "too_much_open": "Too much is unknown at once. Find out the machine's model or the part number of the {board}.",
    "market_open": "Say in which market it is sold: price, tax and terms depend on it.",
    "no_terms": "The price list has no terms for the {markets} market. Add them before anything is sold there.",
    "no_terms_for_own_board": "The price list has no terms for boards that customers bring in the {markets} market.",
    "no_price": "The price list has no price for this {board} ({parts}), used or new as it is. Set one first.",
    "warranty_open": "The machine may be under the maker's warranty; it is certainly over from {until} on. Ask before the customer pays.",
    "warranty_unknown": "Nobody knows when the machine was made, so it may be under the maker's warranty. Find out the day, or ask the maker.",
    "campaign_open": "A campaign of the maker may be open: {campaigns}",
    "unit_not_named": "Only the model is named. Whether the machine is held, under warranty or in a campaign was not checked.",
    "fits_only": "No machine is named. {machines}",
    "fit_not_assured": "Nothing that can be found out at the counter tells whether it works in that machine. The customer has to know that.",
    "read_board_first": "Read the {board} out first, and stop if it is not what the customer said.",
    "own_board_terms": "Have the terms for boards that customers bring signed.",
    "programming_needed": "It has to be programmed by {who}.",
    "programming_possible": "It may have to be programmed by {who}.",
    "machine_needs_programming": "The machine has to be programmed by {who} whatever is sold: its own boards do not work together as they are. That is no part of this sale and not in its price.",
    "machine_board_not_usable": "{own_boards} Tell the customer before anything is paid: that is no part of this sale.",
    "binds_permanently": "The first use binds the {board} permanently. It cannot be taken back as new afterwards.",
    "other_serial": "The {board} holds the serial of another machine ({serials}). Read it back, and write the serial down.",
    "read_machine_first": "Read the boards in the machine before this one goes in, and stop if one is not as the maker fitted it.",
    "machine_must_run": "Ask whether the machine runs with the boards that are in it now: nobody has read them.",
    "test_first": "The {board} is used and was not tested since, and a safety function sits on it. Test it and record the result before it is handed over.",
    "warranty_asked": "You said that the customer pays all the same, although a warranty may be open.",
    "campaign_asked": "You said that the customer pays all the same, although a campaign may be open: {campaigns}",
}

CUSTOMER: Mapping[str, str] = {
    "sold_already": "It has been sold already.",
    "scrapped": "It was scrapped and must not be used.",
    "safety_untested": "It may have got wet or been struck by lightning, and the safety of a machine depends on it. It has to pass a test first.",
    "does_not_fit": "It works in none of the machines that we know.",
    "identity_conflict": "Your machine goes by different names. We have to look at its plate and its papers.",
    "machine_ended": "Please read the serial number on the plate of your machine again.",
    "record_contradicts": "What we have written down does not agree, and we have to look into that.",
    "fitted_elsewhere": "Our records of it are not complete, and we have to look into that.",
    "recorded_as_ours": "Our records of it are not complete, and we have to look into that.",
    "not_recorded_here": "It has to be entered in our books.",
    "part_open": "We have to check which version of the board this is.",
    "claims_decide": "We know of it only what we were told, and a dealer has to read it out.",
    "fact_open": "{question} {how}",
    "machine_decides": "From what we were told about your machine, it would not work there. A dealer has to look at the boards in the machine.",
    "too_much_open": "Please tell us the model of your machine.",
    "market_open": "Please tell us in which market your machine is used.",
    "no_terms": "We have no prices for the {markets} market yet.",
    "no_terms_for_own_board": "In the {markets} market we do not program boards that are brought to us.",
    "no_price": "We have no price for it yet.",
    "warranty_open": "Your machine may still be under the maker's warranty. We ask before you pay for anything.",
    "warranty_unknown": "We do not know when your machine was made, so it may still be under the maker's warranty. The invoice or the plate shows it.",
    "campaign_open": "The maker may put this right at its own cost. We ask before you pay for anything.",
    "unit_not_named": "We go by the model that you told us. Please compare it with the plate of your machine. We could not check whether the machine is under warranty.",
    "fits_only": "{machines}",
    "fit_not_assured": "We cannot tell whether it will work in your machine, and nothing that can be found out here settles it.",
    "read_board_first": "We read it out first and tell you what we found before we go on.",
    "own_board_terms": "{own_board}",
    "programming_needed": "It will not run until {who_has} programmed it.",
    "programming_possible": "It may have to be programmed by {who} before it runs.",
    "machine_needs_programming": "Your machine itself will not run until {who_has} programmed the boards that are in it. That is needed with or without this board, and it is not in this price.",
    "machine_board_not_usable": "{own_boards} That is no part of this sale.",
    "binds_permanently": "With its first use it takes on the model of a machine, permanently, and cannot be returned as new.",
    "other_serial": "It came out of another machine and still carries the serial number of that machine.",
    "read_machine_first": "Before it goes in we read the boards in your machine. If one of them is not as the maker fitted it, we ask you before we go on.",
    "machine_must_run": "We take it that your machine runs with the boards that are in it now.",
    "test_first": "We test it before you get it.",
    "warranty_asked": "Your machine may still be under the maker's warranty, and you have chosen to pay for this yourself.",
    "campaign_asked": "The maker may put this right at its own cost, and you have chosen to pay for it yourself.",
}
"""What is held is not among them: the first sentence says all that is said of it."""

BY_YOUR_WORDS = (
    "From what you tell us, it will not work in your machine. If you are not sure, we can read it out."
)
"""Says `claims_decide` of a board that the customer brings."""
WE_LOOK = "We have to look at it and try it out ourselves."
"""Says `fact_open` of a fact of our own board: the customer cannot know it."""
PART_MAY_BE = "It may be {parts}."
NOT_IN_THE_PRICE = "Programming is charged separately, once we know the machine."
WORKS_IN_ONE = "This {board} works in {a_model} and in no other model."
WORKS_IN_SOME = "This {board} works in these models and in no other: {models}."
MAY_WORK_IN = "Whether it works in {a_model} depends on the individual machine."
STATUTORY_RIGHTS = "Your statutory rights remain."
"""Stands with every dealer's terms of return."""
CAMPAIGN = "{campaign}. {note}"
WHO: Mapping[str, str] = {"owner": "the owner", "dealer": "a dealer", "maker": "the maker"}

HOLDS: Mapping[str, str] = {
    "reported_stolen": "reported stolen",
    "recalled": "recalled",
    "locked_to_owner": "locked to its owner",
    "owed_to_maker": "owed to the maker",
    "under_query": "under query",
}

LINES: Mapping[str, str] = {
    "part": "{name}",
    "used_part": "{name}, used",
    "companion": "{name}",
    "programming": "programming",
    "labour": "bench work, at most {quantity} minutes",
}

MEANINGS: Mapping[str, str] = {
    "board_held": "something is held against the board",
    "unit_held": "something is held against the machine",
    "donor_held": "something is held against the machine that the board came out of",
    "sold_already": "the board is recorded as sold",
    "scrapped": "the board is recorded as scrapped",
    "safety_untested": "a safety function sits on the board, and it was or may have been exposed since its last test",
    "does_not_fit": "it works in no machine that it may be for, whatever is claimed or assumed",
    "identity_conflict": "witnesses of the machine's identity exclude each other",
    "machine_ended": "the machine is recorded as dismantled, scrapped or converted",
    "record_contradicts": "records and readings exclude each other: correct the record",
    "fitted_elsewhere": "the board is recorded as fitted in a machine",
    "recorded_as_ours": "the customer brings a board that is recorded as lying in the shop",
    "not_recorded_here": "the board is not recorded as lying in the shop",
    "part_open": "the board may be one of several parts",
    "claims_decide": "what is claimed of the board makes a difference that reading it would settle",
    "fact_open": "the fit answer's `ask`: a fact that can be found out and would settle it",
    "machine_decides": "it does not fit only by what is assumed or claimed of the machine",
    "too_much_open": "past the bound of a question",
    "market_open": "no market is known, so there are no terms",
    "no_terms": "the catalogue has no terms of sale for the market",
    "no_terms_for_own_board": "the catalogue has no terms for boards that customers bring in the market",
    "no_price": "the catalogue has no price for the part, new or used as the board is",
    "warranty_open": "the machine may be under warranty; settled by `asked`",
    "warranty_unknown": "nobody knows when the machine was made; settled by `made_on` or `asked`",
    "campaign_open": "a campaign of the maker may be open for it; settled by `asked`",
    "unit_not_named": "only the machine's model is named",
    "fits_only": "no machine is named: the models that the board works in",
    "fit_not_assured": "nothing that can be found out at the counter tells whether it fits",
    "read_board_first": "a board that is brought is read before anything is done",
    "own_board_terms": "the dealer's terms for a board that is brought",
    "programming_needed": "the programming tool is needed",
    "programming_possible": "the programming tool may be needed",
    "machine_needs_programming": "the boards that stay in the machine have to be programmed whatever is sold; not in the quote",
    "machine_board_not_usable": "a board that stays in the machine is, or may be, scrapped, failed on test or exposed; not in the quote",
    "binds_permanently": "its first use in a machine binds the board, permanently",
    "other_serial": "the board holds the serial of another machine",
    "read_machine_first": "it rests on what is assumed of the machine's boards: read them first",
    "machine_must_run": "it rests on the machine running with the boards that are in it",
    "test_first": "a used board with a safety function, not tested since it was in use",
    "warranty_asked": "a warranty may be open, and the seller has cleared up that the customer pays",
    "campaign_asked": "a campaign may be open, and the seller has cleared up that the customer pays",
}
"""The codes for the developer who reads the document."""
