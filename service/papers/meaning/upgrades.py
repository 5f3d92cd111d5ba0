"""Conversions: from one model to another, each pair once, with a price where the maker issues a serial.
Packs: no cell holds more than the pack that it is in."""

from __future__ import annotations

from service.papers.draft import Draft, entries
from service.papers.faults import Report


def check_upgrades(draft: Draft, report: Report) -> None:
    """Check each conversion and each pack."""
    _check_packs(draft, report)
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


def _check_packs(draft: Draft, report: Report) -> None:
    for name, each in entries((draft["upgrades"] or {}).get("accessories")):
        volts, amp_hours, cell = (each[field] for field in ("volts", "amp_hours", "cell_watt_hours"))
        if None not in (volts, amp_hours, cell) and cell > volts * amp_hours:
            told = f"a cell of {cell} Wh is in a pack of {volts} V and {amp_hours} Ah, which is less"
            report.add("cell_over_pack", ("upgrades", "accessories", name, "cell_watt_hours"), told)
