"""Titles and remarks of a whole answer as text."""

from __future__ import annotations

from service.domain.terms import Outcome

OUTCOMES = {
    Outcome.FITS: "FITS",
    Outcome.FITS_WITH_PROGRAMMING: "FITS, WITH PROGRAMMING",
    Outcome.DOES_NOT_FIT: "DOES NOT FIT",
    Outcome.CANNOT_TELL: "CANNOT TELL YET",
}
ENDS_AS = {
    Outcome.FITS: "fits",
    Outcome.FITS_WITH_PROGRAMMING: "fits, with programming",
    Outcome.DOES_NOT_FIT: "does not fit",
    Outcome.CANNOT_TELL: "cannot tell yet",
}
"""The same within a line."""
WHY = "Why"
MORE_POSSIBLE = "More may stand in the way or have to be done, depending on what is not known yet."
BY_KIND = "What stands in the way or has to be done depends on what kind of board it is."
TO_ASK = "To find out"
TO_DO = "What to do"
TO_DO_IF = "What to do if it turns out to fit"
AFTERWARDS = "Afterwards"
CAUTION = "Cautions"
MINUTES = "{least} to {most} minutes in all"
DEALER_DOES = "A dealer does it, in {least} to {most} minutes."
ONLY_IF = "Only if {fact} is {values}:"
ONLY_IF_OTHERS = "Depending on {fact}:"
GAINED = "gained"
MAY_GAIN = "perhaps gained"
LOST = "lost"
MAY_LOSE = "perhaps lost"
NOTHING = "nothing works: {why}"
FROM_TO = "{least} to {most}"
YES = "yes"
NO = "no"
UNKNOWN = "not known"
ANSWERED = "{values}: {outcome}"
NOT_KNOWN = "not to be found out"
HELD = "HELD: something is on record against it. Ask before selling or programming."
REVISION = "Catalogue {revision}."
