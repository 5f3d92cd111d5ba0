"""What is not counted but true at the moment: told anew whenever it is asked for."""

from __future__ import annotations

from collections.abc import Iterator

from prometheus_client.core import GaugeMetricFamily
from prometheus_client.metrics_core import Metric
from prometheus_client.registry import Collector
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoConnectionFree

from service import __version__
from service.store.ledger import last_number
from service.usecases.shop import NoCatalogue, Shop


class Standing(Collector):
    """Whether the service can answer, from which catalogue, and how long the ledger is.

    While the database is away it is not ready, and nothing is told of the ledger.
    """

    def __init__(self, shop: Shop) -> None:
        self._shop = shop

    def collect(self) -> Iterator[Metric]:
        build = GaugeMetricFamily("boardfit_build", "The version that runs; always 1.", labels=("version",))
        build.add_metric((__version__,), 1)
        yield build
        yield GaugeMetricFamily("boardfit_ready", "1 while /readyz is 200, else 0.", value=int(self._ready()))
        try:
            revision = self._shop.catalogue().catalogue.revision
            events = self._shop.reader.read(last_number)
        except (NoCatalogue, DBAPIError, NoConnectionFree):
            return
        catalogue = GaugeMetricFamily(
            "boardfit_catalogue", "The catalogue revision in force; always 1.", labels=("revision",)
        )
        catalogue.add_metric((revision,), 1)
        yield catalogue
        yield GaugeMetricFamily("boardfit_ledger_events", "Events recorded so far.", value=events)

    def _ready(self) -> bool:
        try:
            return not self._shop.stopping() and self._shop.ready()
        except (DBAPIError, NoConnectionFree):
            return False
