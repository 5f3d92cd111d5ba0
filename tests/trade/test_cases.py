"""Every case of a fit question is answered as its file says."""

from __future__ import annotations

import pytest

from service.domain.facts.question import ImpossibleQuestion
from tests.trade.case_files import Case, answered, parameters
from tests.trade.told import disagreements


@pytest.mark.parametrize("case", parameters("question"))
def test_it_is_answered_as_a_careful_dealer_would(case: Case) -> None:
    found = answered(case)
    if isinstance(found, ImpossibleQuestion):
        assert {"impossible": f"{found.code} {found.pointer}"} == case.expect
        return
    assert "outcome" in case.expect, "a case expects an outcome"
    assert disagreements(case.expect, found, case.shop.names) == {}
