"""The closed sets and the names of things: every other module speaks in these words.

Members marked closed never grow; a client may switch over them. The codes of reasons, blockers,
steps and cautions may grow and are therefore documented strings elsewhere.
"""

from __future__ import annotations

from enum import IntEnum, StrEnum
from typing import NewType

ModelId = NewType("ModelId", str)
FamilyId = NewType("FamilyId", str)
RoleId = NewType("RoleId", str)
PartNumber = NewType("PartNumber", str)
CapabilityId = NewType("CapabilityId", str)
FeatureId = NewType("FeatureId", str)
FunctionId = NewType("FunctionId", str)
MarketId = NewType("MarketId", str)
SchemeId = NewType("SchemeId", str)
Serial = NewType("Serial", str)
"""A serial number in its compacted form (see `domain.serials`)."""


class Fit(StrEnum):
    """Whether the resulting set of boards works in the unit. Closed."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class Programming(StrEnum):
    """Whether the programming tool is needed for it. Closed."""

    NONE = "none"
    NEEDED = "needed"
    UNKNOWN = "unknown"
    NOT_APPLICABLE = "not_applicable"


class Outcome(StrEnum):
    """The view of the two axes that most callers read. Closed."""

    FITS = "fits"
    FITS_WITH_PROGRAMMING = "fits_with_programming"
    DOES_NOT_FIT = "does_not_fit"
    CANNOT_TELL = "cannot_tell"


class Cause(StrEnum):
    """Why an answer is `cannot_tell`, strongest first. Closed."""

    OUT_OF_SCOPE = "out_of_scope"
    CONTRADICTION = "contradiction"
    UNKNOWN_LAYOUT = "unknown_layout"
    WORLDS_DIFFER = "worlds_differ"
    BOUND_EXCEEDED = "bound_exceeded"


class Basis(StrEnum):
    """How a fact is known, strongest first. Closed."""

    READ = "read"
    RECORDED = "recorded"
    CLAIMED = "claimed"
    ASSUMED = "assumed"


class Clearance(StrEnum):
    """Whether anything is held against a board or unit; fit is not permission. Closed."""

    NOTHING_KNOWN = "nothing_known"
    HELD = "held"
    NOT_CHECKED = "not_checked"


class BindingPolicy(StrEnum):
    """What a part does with the identity of the unit. Closed."""

    FREE = "free"
    NAMES = "names"
    FOLLOWS = "follows"


class Holds(StrEnum):
    """Whose unit serial a naming board holds, as far as rule 8 is concerned."""

    NOTHING = "nothing"
    THIS_UNIT = "this_unit"
    IDLE = "idle"
    IN_SERVICE = "in_service"


class Condition(StrEnum):
    """The state of a board on the bench. `EXPOSED`: to water, lightning or fire, not tested since."""

    USABLE = "usable"
    SCRAPPED = "scrapped"
    FAILED = "failed"
    EXPOSED = "exposed"


class Overload(StrEnum):
    """What a unit does when more is connected than its model is allowed."""

    IGNORED = "ignored"
    REPORTS_ERROR = "reports_error"


class Means(StrEnum):
    """What the caller has at hand to find a fact out."""

    CUSTOMER = "customer"
    COUNTER = "counter"
    BENCH = "bench"


class Who(StrEnum):
    """Who may do a step."""

    OWNER = "owner"
    DEALER = "dealer"
    MAKER = "maker"


class StepKind(StrEnum):
    """What can be done to a unit. One transition table gives each its law (`domain.steps`)."""

    READ_OUT = "read_out"
    REMOVE = "remove"
    MOUNT = "mount"
    LOAD = "load"
    ENTER_SERIAL = "enter_serial"
    ASSIGN = "assign"
    INTRODUCE = "introduce"
    CALIBRATE = "calibrate"
    ERASE_OWNER_DATA = "erase_owner_data"
    FIT_ACCESSORY = "fit_accessory"
    ACTIVATE = "activate"
    SELF_TEST = "self_test"


class Rule(IntEnum):
    """The rules of fit, in the order in which the first failing one decides."""

    IDENTITY = 1
    COVERED = 2
    HAS_ROLE = 3
    LISTED = 4
    BOUND = 5
    AGREE = 6
    ASSIGNABLE = 7
    ONE_SERIAL = 8
    USABLE = 9
    RELEASES = 10
