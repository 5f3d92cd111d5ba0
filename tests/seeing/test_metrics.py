"""What is counted is what happened, in closed sets of labels, and read by whom it may be."""

from __future__ import annotations

import errno
import fcntl
import os
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from flask import Flask
from prometheus_client.parser import text_string_to_metric_families

from service.api.calling import EXTENSION
from service.api.problems.kinds import KINDS
from service.api.seeing.metrics import FACTS, OUTCOMES, SECONDS, STATUSES
from service.demo import serials as s
from service.demo.asking import answers
from service.domain.terms import Cause
from service.server import together
from service.settings import Settings
from service.usecases.caller import Scope
from service.wiring import app_on
from tests.access.operations import NEEDED
from tests.house.readme import readme
from tests.support.databases import opened
from tests.support.demo_copies import copied
from tests.support.keys import SUITE, a_key, bearer, keyed_app, without_key

Sample = tuple[str, frozenset[tuple[str, str]]]
CLOSED = {
    "operation": {*NEEDED, "none"},
    "status": {*STATUSES, "other"},
    "kind": set(OUTCOMES),
    "outcome": {str(outcome) for outcomes in OUTCOMES.values() for outcome in outcomes},
    "cause": set(map(str, Cause)),
    "fact": set(FACTS),
    "code": set(KINDS),
    "le": {*(f"{bound}" for bound in SECONDS), "+Inf"},
}
"""Every label, with all the values that it may have."""
OF_THE_MOMENT = {"version": re.compile(r"\d+\.\d+\.\d+"), "revision": re.compile(r"r-[0-9a-f]+")}
"""Labels of which one value is told at a time."""


@pytest.fixture
def app(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Flask]:
    with copied(request, "sqlite", tmp_path) as url, opened(url) as engine:
        app = keyed_app(engine)
        yield app
        app.extensions[EXTENSION].reader.close()


def counted(app: Flask) -> Mapping[Sample, float]:
    """The samples that are told."""
    answer = app.test_client().get("/metrics")
    assert answer.status_code == 200, answer.text
    assert answer.content_type == "text/plain; version=0.0.4; charset=utf-8"
    return {
        (sample.name, frozenset(sample.labels.items())): sample.value
        for family in text_string_to_metric_families(answer.text)
        for sample in family.samples
    }


def sample(name: str, **labels: str) -> Sample:
    return name, frozenset(labels.items())


def test_questions_are_counted_by_what_came_of_them(app: Flask) -> None:
    client = app.test_client()
    pair = f"board={s.USED_MAIN_60}&unit={s.CUSTOMER_PLOVER_40}"
    for target in (f"/v1/fit?{pair}", f"/v1/fit?{pair}", "/v1/fit?part=MN-4100&model=wren-8"):
        assert client.get(target).status_code == 200
    questions = [{"boards": [{"part": "MN-4100"}], "unit": {"model": "wren-8"}}] * 3
    client.post("/v1/fit-checks/batch", json={"questions": [*questions, {"unit": {"model": "no such"}}]})
    found = counted(app)
    assert found[sample("boardfit_questions_total", kind="fit", outcome="does_not_fit")] == 2
    assert found[sample("boardfit_questions_total", kind="fit", outcome="cannot_tell")] == 4
    assert found[sample("boardfit_questions_total", kind="fit", outcome="refused")] == 1
    assert found[sample("boardfit_questions_total", kind="fit", outcome="fits")] == 0
    missing = {key: value for key, value in found.items() if key[0] == "boardfit_cannot_tell_total" and value}
    assert missing == {sample("boardfit_cannot_tell_total", cause="worlds_differ", fact="board.binding"): 4}
    assert found[sample("boardfit_requests_total", operation="check_fit", status="200")] == 3
    assert found[sample("boardfit_request_seconds_count", operation="check_fit")] == 3


def test_the_tills_decisions_are_counted_once_however_often_they_are_asked_for(app: Flask) -> None:
    client = app.test_client()
    body = {"board": {"serial": s.USED_MAIN_60}, "unit": {"serial": s.CUSTOMER_PLOVER_40}}
    decisions = {
        client.post("/v1/sale-checks", json=body, headers={"Idempotency-Key": "till-0001"}).get_json()[
            "decision"
        ]
        for _ in range(3)
    }
    found = counted(app)
    (decision,) = decisions
    assert found[sample("boardfit_questions_total", kind="sale", outcome=decision)] == 1
    assert found[sample("boardfit_requests_total", operation="check_sale", status="201")] == 3


def test_refusals_are_counted_by_their_code(app: Flask) -> None:
    seldom = a_key(app.extensions[EXTENSION].database, rate=1)
    client, stranger = app.test_client(), without_key(app)
    targets = ["/v1/nothing", "/v1/units/NOBODY", "/v1/parts?role=none", "/v1/parts?role=none"]
    for target in targets:
        client.get(target)
    stranger.get("/v1/models")
    app.extensions["boardfit"].reader.close()
    for _ in range(3):
        stranger.get("/v1/models", headers=bearer(seldom))
    found = counted(app)
    refused = {
        dict(labels)["code"]: many
        for (name, labels), many in found.items()
        if name == "boardfit_refusals_total"
    }
    assert refused.keys() == KINDS.keys(), "each stands there from the start"
    told = {code: many for code, many in refused.items() if many}
    assert told["not_found"] == 1
    assert told["invalid_request"] == 2
    assert told["key_missing"] == 1
    assert told.get("too_many_requests", 0) + told.get("key_not_valid", 0) >= 2


def test_what_is_true_at_the_moment_is_told(app: Flask) -> None:
    found = counted(app)
    revision = app.extensions[EXTENSION].catalogue().catalogue.revision
    assert found[sample("boardfit_ready")] == 1
    assert found[sample("boardfit_catalogue", revision=revision)] == 1
    before = found[sample("boardfit_ledger_events")]
    event = {"kind": "tested", "data": {"board": s.USED_MAIN_60, "passed": True}}
    sent = app.test_client().post(
        "/v1/events", json={"events": [event]}, headers={"Idempotency-Key": "job-00001"}
    )
    assert sent.status_code == 201
    assert counted(app)[sample("boardfit_ledger_events")] == before + 1


def test_labels_are_of_closed_sets(app: Flask) -> None:
    """Over every example of the document, and over what is no question at all."""
    client = app.test_client()
    for call, _ in answers(client):
        client.open(call.target.replace("M", "X"), method="PUT")
        client.get(f"{call.path}/{s.USED_MAIN_60}")
    found = counted(app)
    for name, labels in found:
        assert name.startswith("boardfit_")
        for label, value in labels:
            if label in OF_THE_MOMENT:
                assert OF_THE_MOMENT[label].fullmatch(value)
            else:
                assert value in CLOSED[label], (name, label, value)
    assert len(found) < 1_000


def test_a_key_for_administering_reads_it_and_no_other(app: Flask) -> None:
    keys = {scope: a_key(app.extensions[EXTENSION].database, scope) for scope in Scope}
    # A process that has not looked for keys yet knows them all.
    fresh = app_on(app.extensions[EXTENSION].database, Settings())
    client = without_key(fresh)
    found = {scope: client.get("/metrics", headers=bearer(key)).status_code for scope, key in keys.items()}
    fresh.extensions[EXTENSION].reader.close()
    assert found == {scope: 200 if scope is Scope.ADMINISTER else 403 for scope in Scope}


NETWORKS = "10.1.0.0/16,192.0.2.7,fd00::/8"
FROM = {
    "10.1.2.3": 200,
    "192.0.2.7": 200,
    "fd00::1": 200,
    "::ffff:10.1.2.3": 200,
    "192.0.2.8": 401,
    "2001:db8::1": 401,
    "": 401,
}


def test_networks_may_read_it_without_a_key_and_nothing_else(app: Flask) -> None:
    watched = app_on(app.extensions[EXTENSION].database, Settings(metrics_from=NETWORKS))
    client = without_key(watched)
    for address, status in FROM.items():
        client.environ_base["REMOTE_ADDR"] = address
        assert client.get("/metrics").status_code == status, address
        assert client.get("/v1/models").status_code == 401
        for passed_on in ("Forwarded", "X-Forwarded-For", "X-Real-IP", "Via"):
            assert client.get("/metrics", headers={passed_on: "10.1.2.3"}).status_code == 401
    watched.extensions[EXTENSION].reader.close()


def test_processes_take_places_of_their_own_and_the_next_one_goes_on(tmp_path: Path) -> None:
    held = vars(together)["_held"]
    before = len(held)
    take = vars(together)["_take_place"]
    assert [take(tmp_path) for _ in range(3)] == [0, 1, 2]
    held.pop(before + 1).close()
    assert take(tmp_path) == 1
    for lock in held[before:]:
        lock.close()
    del held[before:]


def test_the_readme_tells_every_series_and_its_labels(app: Flask) -> None:
    app.test_client().get("/v1/models")
    found: dict[str, set[str]] = {}
    for name, labels in counted(app):
        series = re.sub(r"_(bucket|sum|count)\Z", "", name)
        found.setdefault(series, set()).update(label for label, _ in labels if label != "le")
    rows = re.findall(r"^\| (`boardfit_[^|]*) \|([^|]*)\|", readme(), re.MULTILINE)
    told = {
        name: re.findall(r"`(\w+)`", labels)
        for names, labels in rows
        for name in re.findall(r"`(\w+)`", names)
    }
    assert told.keys() == found.keys()
    for name, used in found.items():
        assert used <= set(told[name]), name


def test_what_the_dead_left_goes_and_what_others_count_in_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(together, "MEMORY", tmp_path)
    ours = vars(together)["_prefix"]()
    with subprocess.Popen([sys.executable, "-c", ""]) as ended:
        pass
    names = {
        f"{ours}{ended.pid}-a": False,
        f"{ours}{os.getppid()}-b": True,
        f"{together.PREFIX}1234-{ended.pid}-c": True,
        f"{ours}words-d": True,
    }
    for name in names:
        (tmp_path / name).mkdir()
    made = Path(together.make_folder())
    assert made.parent == tmp_path
    assert {name: (tmp_path / name).is_dir() for name in names} == names


def test_a_folder_that_knows_no_locks_is_told_and_not_filled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_locks(*_: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", no_locks)
    with pytest.raises(OSError, match="No locks available"):
        vars(together)["_take_place"](tmp_path)
    assert len(list(tmp_path.iterdir())) == 1


def test_nothing_of_a_key_is_told(app: Flask) -> None:
    client = app.test_client()
    client.get("/v1/models")
    told = client.get("/metrics").text
    assert SUITE.secret not in told
    assert SUITE.id not in told
