"""Conversions: from one model to another, each pair once, with a price where the maker issues a serial."""

from __future__ import annotations

from service.papers.draft import Draft, entries
from service.papers.faults import Report


def check_upgrades(draft: Draft, report: Report) -> None:
    """Check each conversion."""
    seen: set[tuple[str, str]] = set()
    for at, each in entries((draft["upgrades"] or {}).get("conversions")):
        path, pair = ("upgrades", "conversions", at), (each["from"], each["to"])
        if each["from"] == each["to"]:
            report.add("conversion_to_itself", path, "the conversion leads from a model to the same model")
        if pair in seen:
            report.add("repeated", path, "there is a conversion of these two models already")
        seen.add(pair)
        if each["policy"] == "maker_issues_serial" and each["price"] is None:
            report.add(
                "conversion_without_price", path, "the maker issues a serial, and its price is missing"
            )
