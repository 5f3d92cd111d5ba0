"""What each code and each member of a closed set means, for the document."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from service.api.schemas.closed import (
    Assume,
    Available,
    PlaceState,
    Questions,
    StatedBinding,
    StatedCondition,
)
from service.domain.cautions import Signal
from service.domain.fit.refusing import RefusalCause
from service.domain.loading.planning import LoadingOutcome
from service.domain.quote.quoting import Prices
from service.domain.sale.check import Decision
from service.domain.sale.question import Asked
from service.domain.sale.warranty import WarrantyState
from service.domain.serials import UnreadableCause
from service.domain.software.task import Aim
from service.domain.terms import (
    Basis,
    BindingPolicy,
    Cause,
    Clearance,
    Condition,
    Fit,
    Means,
    Outcome,
    Overload,
    Programming,
    Who,
)
from service.domain.upgrade.upgrading import UpgradeOutcome
from service.usecases.units import Agreement

CLOSED: Mapping[type[StrEnum], Mapping[StrEnum, str]] = {
    Outcome: {
        Outcome.FITS: "it works, and nothing has to be programmed",
        Outcome.FITS_WITH_PROGRAMMING: "it works once it is programmed, or may have to be programmed first",
        Outcome.DOES_NOT_FIT: "it does not work in this unit",
        Outcome.CANNOT_TELL: "it depends on what is not known; `cause` says why and `ask` what to find out",
    },
    UpgradeOutcome: {
        UpgradeOutcome.ALREADY: "the machine can do that as it is",
        UpgradeOutcome.POSSIBLE: "there is a plan; the best is told first",
        UpgradeOutcome.POSSIBLE_NOT_WORTH_IT: "there is a plan, and trading up is the better deal",
        UpgradeOutcome.NOT_POSSIBLE: "nothing that can be had or done leads there; `reasons` rule it out",
        UpgradeOutcome.CANNOT_TELL: "it depends on what is not known; `cases` says on what",
    },
    LoadingOutcome: {
        LoadingOutcome.NOTHING_TO_DO: "what is on the boards goes together, and is what is meant",
        LoadingOutcome.PLANNED: "there are loads that lead there; where facts are open, in every case",
        LoadingOutcome.NO_PLAN: "no loads lead there; `reasons` rule it out",
        LoadingOutcome.CANNOT_TELL: "it depends on what is not known; `cases` says on what",
    },
    Aim: {
        Aim.NEWEST: "the newest set that can be reached: the first role's release as new as can be, "
        "then the second's, and so on",
        Aim.LEAST_CHANGE: "the set that takes the fewest loads",
    },
    Fit: {
        Fit.YES: "the resulting set of boards works in the unit",
        Fit.NO: "it does not",
        Fit.UNKNOWN: "it depends on what is not known",
    },
    Programming: {
        Programming.NONE: "the programming tool is not needed",
        Programming.NEEDED: "it is",
        Programming.UNKNOWN: "it depends on what is not known",
        Programming.NOT_APPLICABLE: "the set does not fit, so there is nothing to program",
    },
    Cause: {
        Cause.OUT_OF_SCOPE: "the model is known, and the catalogue gives no answers about it",
        Cause.CONTRADICTION: "what is known contradicts itself: the record has to be corrected first",
        Cause.UNKNOWN_LAYOUT: "no scheme reads the serial: read the plate again",
        Cause.WORLDS_DIFFER: "it depends on facts that are not known",
        Cause.BOUND_EXCEEDED: "too much is unknown at once: say the model or the part",
    },
    Basis: {
        Basis.READ: "read with the programming tool",
        Basis.RECORDED: "in the ledger, or on the plate or label itself",
        Basis.CLAIMED: "somebody says so",
        Basis.ASSUMED: "taken for granted, as `assumed` lists",
    },
    Clearance: {
        Clearance.NOTHING_KNOWN: "nothing is held against it, as far as is recorded",
        Clearance.HELD: "something is on record against it: ask before selling or programming",
        Clearance.NOT_CHECKED: "it was not looked up",
    },
    BindingPolicy: {
        BindingPolicy.FREE: "it has nothing to do with the unit's identity",
        BindingPolicy.NAMES: "it holds the unit's serial and names the model (the main board)",
        BindingPolicy.FOLLOWS: "it is assigned its model by the board that names (the panel)",
    },
    Condition: {
        Condition.USABLE: "it can be used",
        Condition.SCRAPPED: "it was scrapped",
        Condition.FAILED: "it failed its test",
        Condition.EXPOSED: "exposed to water, lightning or fire, and not tested since",
    },
    Overload: {
        Overload.IGNORED: "what is connected beyond it is not used",
        Overload.REPORTS_ERROR: "the unit reports an error: do not connect it",
    },
    Means: {
        Means.CUSTOMER: "a machine that stays closed, its papers, and the loose board",
        Means.COUNTER: "the same, and the shop's records",
        Means.BENCH: "the programming tool, and the machine on the bench",
    },
    Who: {Who.OWNER: "the owner", Who.DEALER: "a dealer", Who.MAKER: "the maker"},
    Signal: {
        Signal.DANGER: "death or serious injury, if not avoided",
        Signal.WARNING: "possible death or serious injury",
        Signal.CAUTION: "possible minor injury",
        Signal.NOTICE: "no injury, but damage",
    },
    UnreadableCause: {
        UnreadableCause.NO_SCHEME: "no scheme has this length and these characters",
        UnreadableCause.CHECK_CHARACTER: "its check character disagrees: something was misread or mistyped",
        UnreadableCause.FIELD: "a character or value stands where it cannot stand",
    },
    Agreement: {
        Agreement.AGREE: "nothing is wrong, as far as known",
        Agreement.NOT_INTRODUCED: "programming between them is missing",
        Agreement.DISAGREE: "a board was programmed for another model, and has to change",
        Agreement.INCOMPLETE: "a required board is missing, or lacks what the model requires",
        Agreement.RELEASES_DISAGREE: "the software of the boards does not go together, whatever is loaded",
        Agreement.NOT_USABLE: "a board in it was scrapped, failed its test, or was exposed",
        Agreement.UNKNOWN: "it depends on what is not known; see `ask`",
    },
    RefusalCause: {
        RefusalCause.BOARDS_DISAGREE: "a board was programmed for another model: it has to change",
        RefusalCause.INCOMPLETE: "a required board is missing, or lacks what the model requires",
        RefusalCause.RELEASES_DISAGREE: "the software of the boards does not go together, whatever is loaded",
        RefusalCause.NOT_USABLE: "a board was scrapped, failed its test, or was or may have been exposed",
        RefusalCause.NOT_INTRODUCED: "the boards agree on the model, and programming between them is missing",
        RefusalCause.NOT_CONNECTED: "the boards agree as far as known: perhaps one is not connected",
        RefusalCause.UNKNOWN: "it depends on what is not known",
    },
    Assume: {
        Assume.USUAL: "a place that nobody speaks of holds its factory board",
        Assume.NOTHING: "it may hold any board of its role",
    },
    Questions: {Questions.NEXT: "the next question", Questions.ALL: "the whole tree of questions"},
    StatedBinding: {
        StatedBinding.BLANK: "never programmed",
        StatedBinding.USED: "programmed, for a model that nobody knows",
        StatedBinding.BOUND: "programmed for `bound_model`, permanently",
    },
    StatedCondition: {
        StatedCondition.USABLE: "it can be used",
        StatedCondition.MAYBE_EXPOSED: "it may have been exposed to water, lightning or fire",
        StatedCondition.EXPOSED: "it was exposed, and not tested since",
        StatedCondition.FAILED: "it failed its test",
        StatedCondition.SCRAPPED: "it was scrapped",
    },
    Available: {
        Available.YES: "it can",
        Available.NO: "it can't; `blockers` says why",
        Available.UNKNOWN: "it depends on what is not known",
    },
    Decision: {
        Decision.SELL: "sell it; of a board that is brought: take the job",
        Decision.SELL_WITH_CONDITIONS: "the same, once every condition is told and agreed to",
        Decision.ASK_FIRST: "settle the grounds first, and check again",
        Decision.DO_NOT_SELL: "neither sell it nor work on it",
    },
    Asked: {
        Asked.WARRANTY: "whether a warranty pays for it",
        Asked.CAMPAIGN: "whether a campaign of the maker pays for it",
    },
    Prices: {
        Prices.EXCLUDED: "amounts are without the tax",
        Prices.INCLUDED: "amounts have the tax in them",
    },
    WarrantyState: {
        WarrantyState.NONE: "the market has none, or no machine is named",
        WarrantyState.OVER: "it is over",
        WarrantyState.OPEN: "it may be open",
        WarrantyState.UNKNOWN: "nobody knows when the machine was made",
    },
    PlaceState: {
        PlaceState.RECORDED: "a board is recorded there",
        PlaceState.NOT_RECORDED: "nothing is recorded; it is taken to be as made",
        PlaceState.EMPTY: "recorded to be empty",
    },
}
"""Every closed set of the document. A test holds it complete."""


def meaning(of: type[StrEnum]) -> str:
    """The members of a closed set, each with its meaning."""
    return told({str(member): text for member, text in CLOSED[of].items()})


def told(meanings: Mapping[str, str]) -> str:
    """Codes with their meanings, as a text."""
    return " ".join(f"`{code}`: {text.removesuffix('.')}." for code, text in meanings.items())
