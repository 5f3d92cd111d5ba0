"""The answer for the whole unit: one sequence of loads where that is right, else what hangs on what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.hub import Hub
from service.domain.facts.case import Case
from service.domain.fit.worlds import BoundExceeded as TooManyWorlds
from service.domain.fit.worlds import rows
from service.domain.loading.courses import Course, Goal, courses, in_order
from service.domain.loading.ways import Found, ways
from service.domain.place import Place
from service.domain.software.bound import BoundExceeded
from service.domain.software.facts import Fact
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import Load
from service.domain.software.reaching import joined_roles
from service.domain.software.task import Carried
from service.domain.terms import Cause, RoleId, StepKind, Who


class LoadingOutcome(StrEnum):
    """What comes of the question. Closed."""

    NOTHING_TO_DO = "nothing_to_do"
    PLANNED = "planned"
    NO_PLAN = "no_plan"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Boards that needs join, with what is to be done in each case."""

    roles: tuple[RoleId, ...]
    courses: tuple[Course, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading:
    """The answer."""

    outcome: LoadingOutcome
    groups: tuple[Group, ...] = ()
    loads: tuple[Load, ...] = ()
    """Those of the groups of which one course is right, in one order."""
    hubs: tuple[Hub, ...] = ()
    """The units that it may be, one for each way of working on it."""
    left_out: tuple[RoleId, ...] = ()
    """Roles of the unit whose releases are names alone, of which nobody knows what goes together."""
    cause: Cause | None = None
    """For `cannot_tell`."""

    @property
    def open_groups(self) -> tuple[Group, ...]:
        """Those in which cases come to different things."""
        return tuple(group for group in self.groups if len(group.courses) > 1)

    @property
    def settled(self) -> tuple[Course, ...]:
        """The courses that are right whatever is on the boards."""
        return tuple(group.courses[0] for group in self.groups if len(group.courses) == 1)

    @property
    def before(self) -> Mapping[Place, frozenset[Carried]]:
        """What is on the boards of the settled courses at first."""
        return {place: may for course in self.settled for place, may in course.before.items()}

    @property
    def target(self) -> Mapping[Place, Carried]:
        """What is on those boards at the end."""
        courses = (course for course in self.settled if course.outcome is PlanOutcome.PLAN)
        return {place: version for course in courses for place, version in course.target.items()}

    @property
    def why_not(self) -> tuple[Fact, ...]:
        """A smallest set of facts that rules a plan out, where the same does in every case."""
        return next((course.why_not for course in self._without if course.why_not), ())

    @property
    def _without(self) -> tuple[Course, ...]:
        return tuple(course for group in self.groups for course in group.courses if _hopeless(group))

    @property
    def open_facts(self) -> tuple[str, ...]:
        """The facts that tell the cases apart, the unit's first, then part by part, then releases."""
        names = {
            name
            for group in self.open_groups
            for course in group.courses
            for when in course.when
            for name in when
        }
        kinds = ("model", "part", "release")
        return tuple(sorted(names, key=lambda name: (kinds.index(name.rpartition(".")[2]), name)))

    @property
    def counts(self) -> tuple[int, int]:
        """The fewest and the most loads, over all cases that have a plan."""
        plans = [
            [len(c.loads) for c in group.courses if c.outcome is PlanOutcome.PLAN] or [0]
            for group in self.groups
        ]
        return sum(map(min, plans)), sum(map(max, plans))

    @property
    def who(self) -> tuple[Who, ...]:
        """Who loads, where something is to be loaded."""
        procedures = [hub.procedures.get(StepKind.LOAD) for hub in self.hubs] if self.counts[1] else []
        return tuple(dict.fromkeys(each.who for each in procedures if each is not None))

    @property
    def minutes(self) -> tuple[int, int] | None:
        """Bench minutes of the loads, least and most; None where the catalogue does not say."""
        told = [hub.procedures.get(StepKind.LOAD) for hub in self.hubs]
        if not told or None in told:
            return None
        fewest, most = self.counts
        minutes = [each.minutes for each in told if each is not None]
        least, longest = min((m[0] for m in minutes), default=0), max((m[1] for m in minutes), default=0)
        return fewest * least, most * longest


def loading(compiled: CompiledCatalogue, case: Case, goal: Goal, stated: Found) -> Loading:
    """What brings the software of a unit to a set that goes together. `stated`: what is on its boards, as
    somebody says; else it is as recorded, else whatever runs there."""
    software = compiled.catalogue.software
    try:
        covered = [row for row in rows(case.facts) if row.hub.covered]
        if not covered:
            return _cannot_tell(Cause.OUT_OF_SCOPE if case.facts.hubs else Cause.CONTRADICTION)
        found = ways(software, case, covered, stated)
        there = {board.place.role for way in found for board in way.boards}
        groups = tuple(
            Group(roles=roles, courses=courses(software, roles, found, goal))
            for joined in joined_roles(software)
            if (roles := tuple(role for role in joined if role in there))
        )
    except (BoundExceeded, TooManyWorlds):
        return _cannot_tell(Cause.BOUND_EXCEEDED)
    outcome, cause = _outcome(groups)
    settled = [group.courses[0].loads for group in groups if len(group.courses) == 1]
    places = {place.role for row in covered for place in row.places}
    return Loading(
        outcome=outcome,
        groups=groups,
        loads=in_order(software, settled),
        hubs=tuple({row.hub.family.id: row.hub for row in covered}.values()),
        left_out=tuple(
            role
            for role, told in compiled.catalogue.roles.items()
            if role in places and told.releases and role not in software.releases
        ),
        cause=cause,
    )


def _cannot_tell(cause: Cause) -> Loading:
    return Loading(outcome=LoadingOutcome.CANNOT_TELL, cause=cause)


def _hopeless(group: Group) -> bool:
    """Whether there is no plan in any case."""
    return all(course.outcome is PlanOutcome.NO_PLAN for course in group.courses)


def _outcome(groups: Sequence[Group]) -> tuple[LoadingOutcome, Cause | None]:
    every = [course for group in groups for course in group.courses]
    outcomes = {course.outcome for course in every}
    if not groups:
        return LoadingOutcome.CANNOT_TELL, Cause.OUT_OF_SCOPE
    if any(map(_hopeless, groups)):
        return LoadingOutcome.NO_PLAN, None
    if PlanOutcome.NO_PLAN in outcomes:
        return LoadingOutcome.CANNOT_TELL, Cause.WORLDS_DIFFER
    if PlanOutcome.BOUND_EXCEEDED in outcomes:
        return LoadingOutcome.CANNOT_TELL, Cause.BOUND_EXCEEDED
    planned = any(course.loads for course in every)
    return LoadingOutcome.PLANNED if planned else LoadingOutcome.NOTHING_TO_DO, None


def outcome_of(course: Course) -> LoadingOutcome:
    """What comes of one case."""
    if course.outcome is PlanOutcome.PLAN:
        return LoadingOutcome.PLANNED if course.loads else LoadingOutcome.NOTHING_TO_DO
    no_plan = course.outcome is PlanOutcome.NO_PLAN
    return LoadingOutcome.NO_PLAN if no_plan else LoadingOutcome.CANNOT_TELL
