"""What is counted. Every set of labels is closed: no serial, no key, no address, no name of a caller's."""

from __future__ import annotations

from prometheus_client import (
    CollectorRegistry,
    Counter,
    Histogram,
    disable_created_metrics,
    generate_latest,
)
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from service.api.problems.kinds import KINDS
from service.api.seeing.seen import NO_FACT, REFUSED, Seen
from service.domain.fit.effort import LOOSE, UNIT
from service.domain.loading.planning import LoadingOutcome
from service.domain.sale.check import Decision
from service.domain.terms import Cause, Outcome
from service.domain.upgrade.upgrading import UpgradeOutcome

FIT, UPGRADE, SOFTWARE, SALE = "fit", "upgrade", "software", "sale"

OUTCOMES = {
    FIT: (*Outcome, REFUSED),
    UPGRADE: tuple(UpgradeOutcome),
    SOFTWARE: tuple(LoadingOutcome),
    SALE: tuple(Decision),
}
"""The kinds of questions, and what may come of each."""
FACTS = (*UNIT, *(f"board.{attribute}" for attribute in LOOSE), NO_FACT)

STATUSES = frozenset(map(str, (200, 201, 304, *{kind.status for kind in KINDS.values()})))
OTHER = "other"

SECONDS = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
"""Upper bounds of the latencies that are told apart."""

CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"


class _Counters(dict[tuple[str, ...], Counter]):
    """The series of a counter by their labels, each looked up once: the library's look-up takes a lock."""

    def __init__(self, counter: Counter) -> None:
        super().__init__()
        self._counter = counter

    def __missing__(self, labels: tuple[str, ...]) -> Counter:
        found = self[labels] = self._counter.labels(*labels)
        return found


class _Histograms(dict[str, Histogram]):
    """The same for a histogram of one label."""

    def __init__(self, histogram: Histogram) -> None:
        super().__init__()
        self._histogram = histogram

    def __missing__(self, label: str) -> Histogram:
        found = self[label] = self._histogram.labels(label)
        return found


class Metrics:
    """The counts of one process, or of all processes of a server where `folder` holds them.

    In a folder the library keeps each process's counts in files that it maps; whoever is asked adds them up.
    """

    def __init__(self, folder: str | None = None) -> None:
        disable_created_metrics()  # type: ignore[no-untyped-call] # the library's own lack
        self._folder = folder
        own = self._own = CollectorRegistry()
        self._requests = _Counters(
            Counter("boardfit_requests", "Requests.", ("operation", "status"), registry=own)
        )
        self._seconds = _Histograms(
            Histogram(
                "boardfit_request_seconds",
                "Seconds from request to answer, inside the service.",
                ("operation",),
                registry=own,
                buckets=SECONDS,
            )
        )
        self._questions = _Counters(
            Counter("boardfit_questions", "Questions answered.", ("kind", "outcome"), registry=own)
        )
        self._cannot_tell = _Counters(
            Counter(
                "boardfit_cannot_tell",
                "Questions of fit and upgrade that could not be told, by the fact that would help first.",
                ("cause", "fact"),
                registry=own,
            )
        )
        self._refusals = _Counters(
            Counter("boardfit_refusals", "Requests that ended in a problem.", ("code",), registry=own)
        )
        self._begin_at_nothing()

    def _begin_at_nothing(self) -> None:
        """A series that begins with its first count would hide that count from who looks at its growth."""
        for kind, outcomes in OUTCOMES.items():
            for outcome in outcomes:
                self._questions[kind, str(outcome)].inc(0)
        for code in KINDS:
            self._refusals[(code,)].inc(0)
        for cause in Cause:
            for fact in FACTS:
                self._cannot_tell[str(cause), fact].inc(0)

    def count(self, seen: Seen, status: str, seconds: float) -> None:
        """Count one request, and what it was answered."""
        operation = seen.operation
        self._requests[operation, status if status in STATUSES else OTHER].inc()
        self._seconds[operation].observe(seconds)
        if seen.problem is not None:
            self._refusals[(seen.problem,)].inc()
        for labels, many in seen.answers.items():
            self._questions[labels].inc(many)
        for labels, many in seen.missing.items():
            self._cannot_tell[labels].inc(many)

    def exposed(self, *more: Collector) -> bytes:
        """All counts in the text format, with what further collectors find at this moment."""
        registry = self._own if self._folder is None else CollectorRegistry()
        if self._folder is not None:
            MultiProcessCollector(registry, path=self._folder)  # type: ignore[no-untyped-call] # the same
        return generate_latest(registry) + b"".join(map(_alone, more))


def _alone(collector: Collector) -> bytes:
    registry = CollectorRegistry()
    registry.register(collector)
    return generate_latest(registry)
