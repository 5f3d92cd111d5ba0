"""Seeded catalogue documents, small and crooked: every policy, breaks, markets, replacement chains.

Names mean nothing, on purpose; a role's id says its part in the rules (`brain` names, `face` and
`knob` follow, the others are free), so that a failing case can be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any

import networkx as nx

from tests.oracles import plain_serials
from tests.oracles.catalogue_software import add_software
from tests.oracles.world import Document

MARKETS = ("north", "south")
DAYS = ("2021-03-01", "2023-09-15")
KEYS = (2000, 5000)
NAMING, FOLLOWING, FREE = ("brain",), ("face", "knob"), ("lift", "bumper", "lamp")
POLICY = {**dict.fromkeys(NAMING, "names"), **dict.fromkeys(FOLLOWING, "follows")}
FEATURES = {"brain": ("tilt", "ports"), "face": ("keys", "glow"), "knob": ("turn",), "lamp": ("driver",)}
TOOLS = frozenset({"read_out", "load", "enter_serial", "assign", "introduce"})
STEPS = (
    "read_out", "remove", "mount", "load", "enter_serial", "assign", "introduce", "calibrate", "self_test"
)  # fmt: skip
BREAKS = ("all", "from", "before", "day_from", "day_before", "both", "gap")
BREAK_WEIGHTS = (50, 10, 10, 10, 10, 5, 5)


def chance(rng: Random, share: float) -> bool:
    return rng.random() < share


def some(rng: Random, items: list[str] | tuple[str, ...], least: int = 1) -> list[str]:
    """A random selection in the order given, of `least` or more."""
    count = rng.randint(min(least, len(items)), len(items))
    return sorted(rng.sample(list(items), count), key=list(items).index)


class CatalogueMaker:
    """Makes one document; what it has decided so far stands in the document itself."""

    def __init__(self, rng: Random, *, roles: tuple[str, ...]) -> None:
        self.rng = rng
        self.roles = roles
        self.lists_uncovered = chance(rng, 0.3)
        self.document: dict[str, Any] = {
            "format": 1,
            "maker": "Nobody",
            "dealer": "No Shop",
            "currency": "EUR",
            "markets": {market: market.title() for market in MARKETS},
            "roles": {role: self.role(role) for role in roles},
        }

    def role(self, role: str) -> Document:
        text = {"name": f"{role} board", "where": "inside", "recognise": "by its label", "functions": {}}
        return {**text, "places": ["left", "right"]} if role == "bumper" else text

    def make(self) -> Document:
        self.document["families"] = self.families()
        self.document["models"] = self.models()
        self.drop_unused_roles()
        self.document["schemes"] = self.schemes()
        parts = [part for role in self.roles for part in self.parts(role)]
        self.document["parts"] = parts
        self.sell_what_is_required()
        self.use_what_is_named()
        # Drawn apart, so that what else is drawn does not hang on it.
        software = Random(f"software {self.rng.random()}")
        if chance(software, 0.75):
            add_software(software, self.document)
        return self.document

    def drop_unused_roles(self) -> None:
        """A role that no model has is a fault of a catalogue."""
        self.roles = tuple(role for role in self.roles if self.users(role))
        self.document["roles"] = {role: self.document["roles"][role] for role in self.roles}
        self.document["features"] = {f: f for role in self.roles for f in FEATURES.get(role, ())}
        for family in self.document["families"].values():
            needs = family.get("free_part_needs", {})
            for role in [role for role in needs if role not in self.roles]:
                del needs[role]

    def families(self) -> Document:
        covered = {f"fam-{letter}": self.family(letter) for letter in "ab"}
        return {**covered, "fam-u": {"name": "Family U", "covered": False}}

    def family(self, letter: str) -> Document:
        """A covered family, its policies drawn; a policy that is the default is sometimes left out."""
        rng = self.rng
        drawn = {
            "blank_follower_binds": rng.choice(["by_programming", "at_power_on"]),
            "matched_pair_moved": rng.choice(["introduce_again", "nothing"]),
            "another_serial": rng.choice(["refused", "allowed"]),
            "enter_serial": rng.choice(["when_in_service", "always"]),
        }
        default = ("by_programming", "introduce_again", "refused", "when_in_service")
        kept = {key: value for key, value in drawn.items() if value not in default or chance(rng, 0.5)}
        needs = {role: ["calibrate"] for role in self.roles if role in FREE and chance(rng, 0.4)}
        return {
            "name": f"Family {letter.upper()}",
            **kept,
            "procedures": self.procedures(),
            "free_part_needs": needs,
        }

    def procedures(self) -> list[Document]:
        return procedures(tools=TOOLS | {"calibrate"} if chance(self.rng, 0.5) else TOOLS)

    def models(self) -> Document:
        covered = {f"m{number}": self.model(number) for number in range(1, self.rng.choice([3, 4, 4]) + 1)}
        uncovered = {
            f"u{number}": self.uncovered(number) for number in range(1, self.rng.choice([1, 1, 2]) + 1)
        }
        return {**covered, **uncovered}

    def uncovered(self, number: int) -> Document:
        return {"name": f"Uncovered {number}", "family": "fam-u"}

    def model(self, number: int) -> Document:
        roles = {role: self.model_role(role) for role in self.roles if chance(self.rng, self.share(role))}
        if roles.keys().isdisjoint(NAMING):
            # A follower would have nothing to follow, which is a fault of a catalogue.
            roles = {role: need for role, need in roles.items() if role not in FOLLOWING}
        document: dict[str, Any] = {
            "name": f"Model {number}",
            "family": self.rng.choice(["fam-a", "fam-b"]) if number > 2 else f"fam-{'ab'[number - 1]}",
            "roles": roles or {"brain": {}},
        }
        if chance(self.rng, 0.3):
            document["markets"] = [self.rng.choice(MARKETS)]
        return document

    def share(self, role: str) -> float:
        """How often a model has this role."""
        return {"brain": 0.97, "face": 0.9}.get(role, 0.75)

    def model_role(self, role: str) -> Document:
        rng = self.rng
        need: dict[str, Any] = {}
        if chance(rng, 0.15 if role in NAMING else 0.35):
            need["required"] = False
        if role in FEATURES and chance(rng, 0.4):
            need["features"] = [rng.choice(FEATURES[role])]
        if role in FREE and chance(rng, 0.2):
            need["markets"] = [rng.choice(MARKETS)]
        return need

    def schemes(self) -> list[Document]:
        models = list(self.document["models"])
        letters = "CDEFGHJK"
        codes = {f"{letters[at]}{at + 2}": [model] for at, model in enumerate(models)}
        codes["X9"] = sorted(self.rng.sample(models, 2))
        return [plain_serials.unit_scheme(codes), plain_serials.board_scheme()]

    def users(self, role: str) -> list[str]:
        return [m for m, model in self.document["models"].items() if role in model.get("roles", {})]

    def parts(self, role: str) -> list[dict[str, Any]]:
        rng, users = self.rng, self.users(role)
        count = rng.choice([2, 3, 3]) if role in POLICY else rng.choice([1, 2, 2, 3])
        parts = [self.part(role, number, users) for number in range(1, count + 1)]
        for model in users:
            # Every model finds a part for each of its roles in the list, else most answers are alike.
            if not any(model in row["models"] for part in parts for row in part.get("fits", [])):
                parts[0].setdefault("fits", []).append({"models": [model]})
        if self.lists_uncovered and (role in POLICY or chance(rng, 0.5)):
            parts[0].setdefault("fits", []).append({"models": [self.uncovered_model()]})
        self.replace(parts)
        for part in parts:
            if not part.get("fits") and not part.get("replaces"):
                part["fits"] = [{"models": [rng.choice(users)]}]
        return parts

    def uncovered_model(self) -> str:
        return next(
            str(model) for model, each in self.document["models"].items() if each["family"] == "fam-u"
        )

    def part(self, role: str, number: int, users: list[str]) -> dict[str, Any]:
        rng = self.rng
        document: dict[str, Any] = {
            "number": f"{role.upper()}-{number}",
            "name": f"{role} {number}",
            "role": role,
        }
        policy = POLICY.get(role, "free")
        if policy == "follows" and number == 3 and chance(rng, 0.25):
            policy = "free"  # A look-alike that binds nothing.
        if policy != "free" or chance(rng, 0.2):
            document["binding"] = policy
        features = {f: rng.choice([1, 1, 2]) for f in FEATURES.get(role, ()) if chance(rng, 0.85)}
        if features:
            document["features"] = features
        if chance(rng, 0.2):
            document["markets"] = [rng.choice(MARKETS)]
        rows = [row for model in users if chance(rng, 0.55) for row in self.rows(model)]
        if rows:
            document["fits"] = rows
        return document

    def rows(self, model: str) -> list[Document]:
        """The rows of a part for one model: whole, with one break, or two that leave a gap or adjoin."""
        rng = self.rng
        kind = rng.choices(BREAKS, BREAK_WEIGHTS)[0]
        low, high = (plain_serials.written(self.document, model, key) for key in KEYS)
        one, day = rng.choice([low, high]), rng.choice(DAYS)
        found: dict[str, list[Document]] = {
            "all": [{}],
            "from": [{"serial_from": one}],
            "before": [{"serial_before": one}],
            "day_from": [{"date_from": day}],
            "day_before": [{"date_before": day}],
            "both": [{"serial_before": one}, {"serial_from": one}],
            "gap": [{"serial_before": low}, {"serial_from": high}],
        }
        return [{"models": [model], **row} for row in found[kind]]

    def replace(self, parts: list[dict[str, Any]]) -> None:
        """Let parts of a role replace each other, never in a circle once both-ways groups are merged."""
        for new in range(len(parts)):
            for old in range(new):
                if same_binding(parts[new], parts[old]) and chance(self.rng, 0.35):
                    row = self.replacement(parts[old]["number"])
                    parts[new].setdefault("replaces", []).append(row)
                    if circular(parts):
                        parts[new]["replaces"].pop()
            if not parts[new].get("replaces", True):
                del parts[new]["replaces"]

    def replacement(self, old: str) -> Document:
        row: dict[str, Any] = {"part": old}
        if chance(self.rng, 0.4):
            row["both_ways"] = True
        covered = [m for m, model in self.document["models"].items() if model["family"] != "fam-u"]
        if chance(self.rng, 0.3):
            row["models"] = some(self.rng, covered)
        return row

    def sell_what_is_required(self) -> None:
        """A required board can be had in every market of the model: else it is a fault of a catalogue."""
        for model, document in self.document["models"].items():
            for role in document.get("roles", {}):
                for market in document.get("markets", MARKETS):
                    listed = self.listed(model, role)
                    if not any(market in part.get("markets", MARKETS) for part in listed):
                        listed[0].pop("markets", None)

    def use_what_is_named(self) -> None:
        """A feature that a model requires is on a part that is listed for it: else nothing fits there."""
        for model, document in self.document["models"].items():
            for role, need in document.get("roles", {}).items():
                for feature in need.get("features", []):
                    listed = self.listed(model, role)
                    if not any(feature in part.get("features", {}) for part in listed):
                        listed[0].setdefault("features", {})[feature] = 1

    def listed(self, model: str, role: str) -> list[dict[str, Any]]:
        parts = [part for part in self.document["parts"] if part["role"] == role]
        return [part for part in parts if any(model in row["models"] for row in part.get("fits", []))]


def procedures(tools: frozenset[str] = TOOLS) -> list[Document]:
    """An order of work, with the steps that take the programming tool."""
    return [
        {"step": step, "who": "dealer", "minutes": [5, 10], **({"tool": True} if step in tools else {})}
        for step in STEPS
    ]


def same_binding(one: Document, other: Document) -> bool:
    return bool(one.get("binding", "free") == other.get("binding", "free"))


def circular(parts: Sequence[Document]) -> bool:
    """Whether parts replace each other in a circle once those that go both ways count as one."""
    groups: nx.Graph[str] = nx.Graph()
    oneway: list[tuple[str, str]] = []
    groups.add_nodes_from(part["number"] for part in parts)
    for part in parts:
        for row in part.get("replaces", []):
            if row.get("both_ways", False):
                groups.add_edge(part["number"], row["part"])
            else:
                oneway.append((part["number"], row["part"]))
    group = {number: at for at, each in enumerate(nx.connected_components(groups)) for number in each}
    merged: nx.DiGraph[int] = nx.DiGraph((group[new], group[old]) for new, old in oneway)
    return not nx.is_directed_acyclic_graph(merged)


def random_catalogue(rng: Random, *, small: bool = False) -> Document:
    """A catalogue document in format 1. `small`: three or four roles, for brute force over worlds."""
    if small:
        roles = ("brain", "face", *rng.choice([("lift",), ("bumper",), ("knob",), ("lamp", "knob")]))
    else:
        roles = rng.choice([NAMING + FOLLOWING + FREE, ("brain", "face", "lift", "bumper", "lamp")])
    return CatalogueMaker(rng, roles=roles).make()
