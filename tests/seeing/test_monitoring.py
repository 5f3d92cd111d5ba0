"""The sample rules and dashboard can be read, and every series and label in them is one that is told.

The library that reads the rules' language is too big for the extra `test`: CI runs this apart.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any

import pytest
import yaml

from service.api.seeing.metrics import Metrics
from service.api.seeing.seen import Seen
from tests.house.tree import ROOT
from tests.seeing.test_metrics import CLOSED, OF_THE_MOMENT

promql = pytest.importorskip("promql_parser", reason="promql-parser comes with the extra `lint`")

FOLDER = ROOT / "docker/monitoring"
RULES = [
    rule
    for group in yaml.safe_load((FOLDER / "alerts.yaml").read_text(encoding="utf-8"))["groups"]
    for rule in group["rules"]
]
BOARD = json.loads((FOLDER / "dashboard.json").read_text(encoding="utf-8"))
PANELS: list[dict[str, Any]] = BOARD["panels"]
DURATION = re.compile(r"[1-9][0-9]*[smhd]")
VARIABLES = {"$__rate_interval": "5m"}
"""What the dashboard fills in itself."""
WIDTH = 24
OF_THE_SCRAPE = {"instance", "job"}
"""Labels that the monitoring system adds."""


def filled(expression: str) -> str:
    for name, value in VARIABLES.items():
        expression = expression.replace(name, value)
    return expression


EXPRESSIONS = {rule["alert"]: rule["expr"] for rule in RULES} | {
    f"{panel['title']} {target['refId']}": filled(target["expr"])
    for panel in PANELS
    for target in panel["targets"]
}


def told() -> dict[str, set[str]]:
    """Every series that is told, with its labels."""
    metrics = Metrics()
    metrics.count(Seen({}), "200", 0.1)
    found: dict[str, set[str]] = {
        "boardfit_ready": set(),
        "boardfit_build": {"version"},
        "boardfit_catalogue": {"revision"},
        "boardfit_ledger_events": set(),
    }
    for line in metrics.exposed().decode().splitlines():
        if not line.startswith("#"):
            name, _, labels = line.partition("{")
            found.setdefault(name, set()).update(re.findall(r'(\w+)="', labels))
    return found


TOLD = told()


def selectors(node: Any) -> Iterator[Any]:
    """Every selector of an expression."""
    if isinstance(node, promql.VectorSelector):
        yield node
    inner = ("expr", "lhs", "rhs", "vector_selector", "param")
    for each in (getattr(node, name, None) for name in inner):
        if each is not None:
            yield from selectors(each)
    for each in getattr(node, "args", None) or ():
        yield from selectors(each)


@pytest.mark.parametrize("name", EXPRESSIONS)
def test_an_expression_can_be_read_and_asks_for_what_is_told(name: str) -> None:
    found = list(selectors(promql.parse(EXPRESSIONS[name])))
    assert found
    for selector in found:
        assert selector.name is not None
        assert selector.name in TOLD, f"nothing tells {selector.name}"
        for matcher in selector.matchers.matchers:
            assert matcher.name in TOLD[selector.name] | OF_THE_SCRAPE
            if matcher.name in CLOSED:
                pattern = matcher.value if "Re" in str(matcher.op) else re.escape(matcher.value)
                assert any(re.fullmatch(pattern, value) for value in CLOSED[matcher.name]), matcher


@pytest.mark.parametrize("name", EXPRESSIONS)
def test_what_is_summed_by_is_a_label(name: str) -> None:
    labels = {
        label.strip()
        for inside in re.findall(r"\bby \(([^)]*)\)", EXPRESSIONS[name])
        for label in inside.split(",")
    }
    series = set().union(*(TOLD[each.name or ""] for each in selectors(promql.parse(EXPRESSIONS[name]))))
    assert labels <= series


def test_each_label_is_told_of_here() -> None:
    """Or the checks above would pass over it."""
    assert set().union(*TOLD.values()) == CLOSED.keys() | OF_THE_MOMENT.keys()


@pytest.mark.parametrize(
    "faulty",
    ["rate(boardfit_requests_total)", "sum by (le", "boardfit_ready[5m", "histogram_quantile(0.5)"],
)
def test_the_parser_refuses_what_is_wrong(faulty: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        promql.parse(faulty)


def test_there_are_five_rules_and_each_says_what_to_do() -> None:
    assert len({rule["alert"] for rule in RULES}) == len(RULES) == 5
    for rule in RULES:
        assert rule.keys() == {"alert", "expr", "for", "labels", "annotations"}
        assert DURATION.fullmatch(rule["for"])
        assert rule["labels"]["severity"] in ("page", "ticket")
        assert rule["annotations"].keys() == {"summary", "description"}


def test_the_dashboard_is_whole() -> None:
    assert len({panel["id"] for panel in PANELS}) == len({panel["title"] for panel in PANELS}) == len(PANELS)
    (source,) = BOARD["templating"]["list"]
    for panel in PANELS:
        assert panel["type"] in ("stat", "timeseries", "table")
        assert panel["description"].endswith(".")
        assert panel["datasource"] == {"type": source["query"], "uid": f"${{{source['name']}}}"}
    for one, other in combinations((panel["gridPos"] for panel in PANELS), 2):
        assert not overlap(one, other)
    assert all(place["x"] + place["w"] <= WIDTH for place in (panel["gridPos"] for panel in PANELS))


def overlap(one: Mapping[str, int], other: Mapping[str, int]) -> bool:
    return all(
        one[start] < other[start] + other[size] and other[start] < one[start] + one[size]
        for start, size in (("x", "w"), ("y", "h"))
    )


def test_everything_that_is_told_is_looked_at() -> None:
    asked = {each.name or "" for text in EXPRESSIONS.values() for each in selectors(promql.parse(text))}
    assert {name.removesuffix("_bucket") for name in asked} == {
        re.sub(r"_(sum|count|bucket)\Z", "", name) for name in TOLD
    }


@pytest.mark.skipif(shutil.which("promtool") is None, reason="promtool is not installed (Debian: prometheus)")
@pytest.mark.parametrize(
    "arguments",
    [("check", "rules", "docker/monitoring/alerts.yaml"), ("test", "rules", "tests/seeing/alerts_test.yaml")],
)
def test_the_monitoring_systems_own_tool_agrees(arguments: tuple[str, ...]) -> None:
    tool = shutil.which("promtool") or ""
    done = subprocess.run([tool, *arguments], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
