"""What is only seen with more than one place of the document in view."""

from __future__ import annotations

from service.domain.serials import Scheme
from service.papers.draft import Draft
from service.papers.meaning.breaks import check_breaks
from service.papers.meaning.campaigns import check_campaigns
from service.papers.meaning.capabilities import check_capabilities
from service.papers.meaning.families import check_families
from service.papers.meaning.filling import check_filling
from service.papers.meaning.money import check_money
from service.papers.meaning.numbers import check_numbers
from service.papers.meaning.replacements import check_replacements
from service.papers.meaning.roles import check_roles
from service.papers.meaning.schemes import read_schemes
from service.papers.meaning.software import check_software
from service.papers.meaning.translations import check_translations
from service.papers.meaning.upgrades import check_upgrades
from service.papers.shapes.context import Context

__all__ = ["check_meaning", "read_schemes"]


def check_meaning(draft: Draft, schemes: tuple[Scheme, ...], context: Context) -> None:
    """Run every check over a document that its shapes have read, holes and all."""
    report = context.report
    check_numbers(draft, report)
    check_replacements(draft, report)
    check_breaks(draft, schemes, report)
    check_campaigns(draft, schemes, report)
    check_money(draft, report)
    check_upgrades(draft, report)
    check_translations(draft, report)
    # Without one of these sections all that needs it would be called missing, which is no news.
    if all(draft[section] is not None for section in ("roles", "families", "models", "parts")):
        check_roles(draft, report)
        check_filling(draft, report)
        check_capabilities(draft, report)
        check_software(draft, report)
        check_families(draft, report)
