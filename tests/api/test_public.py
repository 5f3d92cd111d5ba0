"""The public is told what is needed and by whom; how a bench works is the bench's business."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.demo import serials as s
from service.usecases.caller import Scope
from tests.support.keys import a_key, bearer, keyed_app

ASKED = f"/v1/fit?part=MN-4100&binding=blank&unit={s.CUSTOMER_PLOVER_40}"
BENCH = {"remove", "mount", "enter_serial", "introduce"}


@pytest.fixture
def public(demo_engine: Engine) -> dict[str, str]:
    return bearer(a_key(demo_engine, Scope.ASK, public=True))


@pytest.fixture
def client(demo_engine: Engine, public: dict[str, str]) -> FlaskClient:  # noqa: ARG001 - the key is there before the app looks
    """Of an app that knows the key from its start."""
    return keyed_app(demo_engine).test_client()


def steps(client: FlaskClient, address: str, headers: dict[str, str] | None = None) -> set[str]:
    answer = client.get(address, headers=headers)
    assert answer.status_code == 200, answer.text
    return {step["step"] for step in answer.json["programming"]["steps"]}  # type: ignore[index] # it is JSON


@pytest.mark.parametrize("means", ["", "&means=counter", "&means=bench"])
def test_no_bench_step_is_told_whatever_means_the_public_claims(
    client: FlaskClient, public: dict[str, str], means: str
) -> None:
    assert steps(client, ASKED + means, public).isdisjoint(BENCH)
    assert steps(client, ASKED + means) >= BENCH


def test_the_public_is_told_what_is_needed_by_whom_and_not_to_open_the_machine(
    client: FlaskClient, public: dict[str, str]
) -> None:
    answer = client.get(ASKED, headers=public).json
    assert answer is not None
    assert answer["programming"]["needed"] == "needed"
    assert "dealer" in answer["summary"]
    assert "do_not_open_the_machine" in {each["code"] for each in answer["cautions"]}
