"""Campaigns are for something, and their breaks are those of machines that they name."""

from __future__ import annotations

from service.domain.serials import Scheme
from service.papers.draft import Draft, entries
from service.papers.faults import Report
from service.papers.meaning.breaks import AXES, BreakReader, check_row


def check_campaigns(draft: Draft, schemes: tuple[Scheme, ...], report: Report) -> None:
    """Check each campaign by itself."""
    reader = BreakReader(schemes)
    for key, campaign in entries(draft["campaigns"]):
        path = ("campaigns", key)
        broken = any(campaign[bound] is not None for bounds in AXES.values() for bound in bounds)
        if campaign["models"]:
            check_row(reader, campaign, path, report)
        elif broken:
            report.add("break_without_models", path, "the campaign has a break, and names no models")
        elif not campaign["parts"]:
            report.add("campaign_of_nothing", path, "the campaign names neither models nor parts")
