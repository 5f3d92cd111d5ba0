"""Every case of the till is decided as its file says."""

from __future__ import annotations

import pytest

from service.domain.facts.question import ImpossibleQuestion
from tests.sale.case_files import Case, answered, parameters
from tests.sale.told import disagreements


@pytest.mark.parametrize("case", parameters())
def test_it_is_decided_as_a_careful_dealer_would(case: Case) -> None:
    found = answered(case)
    assert not isinstance(found, ImpossibleQuestion), f"{found.code} {found.pointer}"
    assert "decision" in case.expect, "a case expects a decision"
    assert disagreements(case.expect, found, case.shop.names) == {}
