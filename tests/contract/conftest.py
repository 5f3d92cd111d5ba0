"""Fixtures of the contract's tests."""

from __future__ import annotations

import pytest

from service.demo.asking import Answered, answers
from service.demo.making import make_or_reuse
from tests.support.databases import opened
from tests.support.keys import keyed_app


@pytest.fixture(scope="session")
def example_answers(tmp_path_factory: pytest.TempPathFactory) -> list[Answered]:
    """Each example with its answer, asked once in a world of their own, for some of them write to it."""
    file = make_or_reuse(tmp_path_factory.mktemp("examples") / "demo.db")
    with opened(f"sqlite:///{file}") as engine:
        return list(answers(keyed_app(engine).test_client()))
