"""Seeded small catalogues to upgrade in, as plain documents, with stock and machines as they stand.

Model `m1` is what the machines are; `m2` is the bigger one. Names say what a thing is for: `brain` names
the model, `face` follows, `lift` and `lamp` are free. Prices collide often, so that ties are met.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from random import Random
from typing import Any, NamedTuple

Document = dict[str, Any]
MODELS = ("m1", "m2")
ORDER = (
    "read_out", "remove", "mount", "load", "enter_serial", "assign", "introduce", "calibrate",
    "erase_owner_data", "fit_accessory", "activate", "self_test",
)  # fmt: skip
BINDS = {"brain": "names", "face": "follows", "lift": "free", "lamp": "free"}
FEATURE = {"brain": "ports", "face": "radio", "lift": "sonar", "lamp": "beam"}
RELEASES = ["1.0", "2.0"]


class Plain(NamedTuple):
    """A board, in a machine or in stock."""

    part: str
    serial: str = ""
    """Of a board in stock; empty for one that sits in the machine, or that is ordered."""
    bound: str = ""
    """The model; empty for none."""
    holds: str = ""
    """`idle`, `in_service` (elsewhere) or empty."""
    release: str = ""
    introduced: bool = False
    was_read: bool = True
    price: int = 0
    """Cents."""
    knows: str = ""
    """The serial of the naming board in stock that it was introduced to."""


Start = tuple[tuple[tuple[str, str], Plain], ...]
"""What sits where: ((role, place), board)."""


def chance(rng: Random, share: float) -> bool:
    return rng.random() < share


def document(seed: int) -> Document:
    """One catalogue of two models of one family."""
    rng = Random(seed)
    free = rng.choice((["lift"], ["lamp"], ["lamp"], ["lift", "lamp"]))
    roles = ["brain", "face", *free]
    told: Document = {
        "format": 1,
        "maker": "Nobody",
        "dealer": "No Shop",
        "currency": "EUR",
        "markets": {"north": "North", "south": "South"},
        "features": {FEATURE[role]: role for role in roles},
        "accessories": {"pack": "pack"},
        "roles": {role: _role(rng, role) for role in roles},
        "capabilities": _capabilities(rng, roles),
        "families": {"fam": _family(rng, roles)},
        "models": {model: _model(rng, roles) for model in MODELS},
        "parts": [part for role in roles for part in _parts(rng, role)],
        "sale": _sale(rng),
        "upgrades": _upgrades(rng),
    }
    moved = Random(f"moved {seed}").choice(("nothing", "introduce_again"))
    told["families"]["fam"]["matched_pair_moved"] = moved
    for model, share in (("m2", 0.9), ("m1", 0.7)):
        told["models"][model]["allows"] = _allows(told, rng, share)
        _require_what_is_there(told, model)
    return told


def _require_what_is_there(told: Document, model: str) -> None:
    """A model that requires a feature which none of its parts has is a fault of a catalogue."""
    for role, use in told["models"][model]["roles"].items():
        parts = [part for part in told["parts"] if part["role"] == role]
        fitting = [part for part in parts if any(model in row["models"] for row in part["fits"])]
        if not any(FEATURE[role] in part.get("features", {}) for part in fitting):
            use.pop("features", None)


def _role(rng: Random, role: str) -> Document:
    told: Document = {"name": f"{role} board"}
    if role == "lift" and chance(rng, 0.4):
        told["places"] = ["left", "right"]
    if BINDS[role] != "free":
        told["releases"] = RELEASES
    return told


def _capabilities(rng: Random, roles: list[str]) -> Document:
    told: Document = {}
    for role in roles:
        hardware = [{"role": role, "feature": FEATURE[role]}]
        counted = role == "brain"
        name = f"use_{FEATURE[role]}"
        told[name] = {"name": name, "kind": "count" if counted else "switch", "hardware": hardware}
        if counted:
            told[name]["accessory"] = "pack"
    if chance(rng, 0.6):
        told["use_radio"]["releases"] = {"brain": "2.0"} if chance(rng, 0.5) else {"face": "2.0"}
    return told


def _family(rng: Random, roles: list[str]) -> Document:
    needs = {role: ["calibrate"] for role in roles if BINDS[role] == "free" and chance(rng, 0.4)}
    return {
        "name": "Family",
        "blank_follower_binds": rng.choice(("by_programming", "at_power_on")),
        "another_serial": rng.choice(("refused", "allowed")),
        "enter_serial": rng.choice(("when_in_service", "always")),
        "procedures": list(_procedures(rng)),
        "free_part_needs": needs,
    }


def _procedures(rng: Random) -> Iterator[Document]:
    """Some families say nothing of loading, of accessories or of erasing; the rest is always told."""
    takes_tool = {"read_out", "load", "enter_serial", "assign", "introduce"}
    takes_tool |= {step for step in ("calibrate", "erase_owner_data") if chance(rng, 0.5)}
    takes_tool |= {step for step in ("mount", "activate", "self_test") if chance(rng, 0.1)}
    for step in ORDER:
        if step in ("load", "fit_accessory", "erase_owner_data", "activate") and chance(rng, 0.2):
            continue
        least = rng.choice((0, 5, 10))
        told: Document = {"step": step, "who": "dealer", "minutes": [least, least + rng.choice((0, 5, 10))]}
        if step in ("remove", "mount", "fit_accessory", "activate") and chance(rng, 0.3):
            told["who"] = "owner"
        if step == "activate":
            told |= {"subject": "charging_station", "name": "charging station"}
        yield {**told, "tool": True} if step in takes_tool else told


def _model(rng: Random, roles: list[str]) -> Document:
    uses: Document = {}
    for role in roles:
        use: Document = {}
        uses[role] = use
        if BINDS[role] == "free" and chance(rng, 0.4):
            use["required"] = False
        if chance(rng, 0.15):
            use["features"] = [FEATURE[role]]
    return {"name": "Model", "family": "fam", "roles": uses}


def _parts(rng: Random, role: str) -> Iterator[Document]:
    """Two or three; the first is for both models, so that most machines are whole."""
    for number in range(1, rng.choice((2, 2, 3)) + 1):
        part: Document = {"number": f"{role.upper()}-{number}", "name": role, "role": role}
        part["binding"] = BINDS[role]
        if number > 1 or chance(rng, 0.3):
            part["features"] = {FEATURE[role]: rng.choice((1, 2))}
        models = list(MODELS) if number == 1 else sorted(rng.sample(MODELS, rng.choice((1, 2))))
        part["fits"] = [{"models": models}]
        if number > 1 and chance(rng, 0.2):
            part["replaces"] = [{"part": f"{role.upper()}-{number - 1}"}]
        if number > 1 and chance(rng, 0.15):
            part["markets"] = [rng.choice(("north", "south"))]
        if chance(rng, 0.85):
            part["price"] = f"{rng.choice((10, 20, 50, 90))}.00"
        if chance(rng, 0.3):
            seal = {"number": f"SEAL-{role.upper()}-{number}", "name": "seal"}
            part["goes_with"] = [{**seal, "price": "3.50"} if chance(rng, 0.8) else seal]
        if BINDS[role] != "free":
            part["release"] = rng.choice(RELEASES)
        yield part


def _sale(rng: Random) -> Document:
    terms = {
        "tax": {"rate": "20", "prices": "included"},
        "programming_fee": rng.choice(("0.00", "15.00", "40.00")),
        "labour_per_hour": rng.choice(("0.00", "37.00", "80.00")),
        "receipt": "Thank you.",
        "returns": "None.",
    }
    return {"valid_days": 30, "markets": {"north": terms, "south": dict(terms)}}


def _upgrades(rng: Random) -> Document:
    told: Document = {"worth_it_percent": "60", "models": {"m2": {"price": "500.00"}}}
    if chance(rng, 0.8):
        told["accessories"] = {"pack": {"number": "PACK", "price": rng.choice(("10.00", "60.00"))}}
    if chance(rng, 0.7):
        conversion: Document = {"from": "m1", "to": "m2", "policy": "maker_issues_serial"}
        told["conversions"] = [{**conversion, "price": rng.choice(("0.00", "25.00", "120.00"))}]
    return told


def _allows(told: Document, rng: Random, share: float) -> Document:
    allowed: Document = {}
    for name, each in told["capabilities"].items():
        most = 2 if each["kind"] == "count" else 1
        allowed[name] = {"amount": most if chance(rng, share) else (1 if most == 2 else 0)}
        if chance(rng, 0.1):
            allowed[name]["markets"] = ["south"]
    return allowed


def stock(told: Document, seed: int) -> list[Plain]:
    """Boards that lie in the shop: blank, and bound to either model."""
    rng = Random(seed)
    parts = [part for part in told["parts"] if chance(rng, 0.5)]
    return _acquainted([_stocked(rng, told, part, at) for at, part in enumerate(parts[:4])])


def _acquainted(boards: list[Plain]) -> list[Plain]:
    """The last naming board knows every board that follows and is bound as it is."""
    names = [each for each in boards if each.part.startswith("BRAIN") and each.bound]
    return [
        each._replace(knows=names[-1].serial)
        if names and each.part.startswith("FACE") and each.bound == names[-1].bound
        else each
        for each in boards
    ]


def _stocked(rng: Random, told: Document, part: Document, at: int) -> Plain:
    """A used part that names or follows is bound, most often; who has its serial is known."""
    binds = part["binding"] != "free"
    bound = rng.choice(("", *MODELS, *MODELS)) if binds else ""
    return Plain(
        part=part["number"],
        serial=f"S{at}",
        bound=bound,
        holds=rng.choice(("idle", "idle", "in_service")) if part["binding"] == "names" and bound else "",
        release=rng.choice(RELEASES) if told["roles"][part["role"]].get("releases") else "",
        price=rng.choice((500, 1000, 4000)),
    )


def starts(told: Document, seed: int, count: int) -> list[Start]:
    """Machines of `m1` as they may stand: most of them whole, some crooked."""
    rng = Random(seed)
    places = [(role, place) for role, each in told["roles"].items() for place in each.get("places", ("",))]
    every = [list(_may_sit(told, role)) for role, _ in places]
    found: dict[Start, None] = {}
    for _ in range(count):
        found[_start(rng, told, places, every)] = None
    return list(found)


def _start(rng: Random, told: Document, places: list[tuple[str, str]], every: list[list[Plain]]) -> Start:
    boards = []
    blank = False
    # Beside a board that is bound, a blank follower binds as soon as the machine is on: none stands so.
    powered = told["families"]["fam"]["blank_follower_binds"] == "at_power_on"
    for (role, place), may in zip(places, every, strict=True):
        if not told["models"]["m1"]["roles"][role].get("required", True) and chance(rng, 0.5):
            continue
        board = rng.choice(may[:2] if chance(rng, 0.5) else may)
        blank = blank or (role == "brain" and not board.bound)
        if powered and BINDS[role] == "follows" and not blank and not board.bound:
            continue
        boards.append(((role, place), board._replace(introduced=board.introduced and not blank)))
    return tuple(boards)


def _may_sit(told: Document, role: str) -> Iterator[Plain]:
    """Every board of a role that may be found in a machine, the usual first."""
    binds = BINDS[role] != "free"
    bindings = ("m1", "", "m2") if binds else ("",)
    releases = ("1.0", "2.0", "") if told["roles"][role].get("releases") else ("",)
    parts = [part["number"] for part in told["parts"] if part["role"] == role]
    for bound, was_read, part, release in product(bindings, (True, False), parts, releases):
        yield Plain(part=part, bound=bound, release=release, was_read=was_read, introduced=bound == "m1")
        if BINDS[role] == "follows" and bound == "m1":
            yield Plain(part=part, bound=bound, release=release, was_read=was_read)


def wants(told: Document) -> list[dict[str, int]]:
    """One capability, or two at once, in each amount."""
    names = list(told["capabilities"])
    single = [{name: 1} for name in names] + [{"use_ports": 2}]
    return [*single, {"use_ports": 2, "use_radio": 1}, dict.fromkeys(names[:3], 1)]
