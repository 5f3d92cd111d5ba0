"""What callers and ledgers do besides stating facts: they differ, they half know, they misread.

Each twist changes a question in place and gives its name; a question keeps the names of its twists, so that
a disagreement can be sorted by the meaning that it hangs on.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from tests.oracles import plain_serials
from tests.oracles.catalogues import POLICY, chance
from tests.oracles.plain_rules import PlainRules
from tests.oracles.questions import Asked, Writer, forgettable, forgotten
from tests.oracles.world import BLANK, World

Twist = Callable[[Random, Asked], bool]


def other_witness(rng: Random, asked: Asked) -> bool:
    """Papers or a declaration that name a model at random, often another than the plate."""
    asked.unit[rng.choice(["papers_model", "model"])] = rng.choice(list(asked.catalogue["models"]))
    return True


def no_layout(rng: Random, asked: Asked) -> bool:
    """A plate serial that no scheme can read; the model is declared or not."""
    serial = asked.unit.get("serial")
    if serial is None or serial in asked.records["units"]:
        return False
    if any(serial in str(each) for each in (asked.question["boards"], asked.records["boards"])):
        return False
    models = plain_serials.models_of(asked.catalogue, serial) or frozenset()
    asked.unit["serial"] = plain_serials.NO_LAYOUT
    if len(models) == 1 and chance(rng, 0.6):
        asked.unit["model"] = min(models)
    return True


def ambiguous_code(_: Random, asked: Asked) -> bool:
    """A plate serial whose product code stands for two models."""
    serial = asked.unit.get("serial")
    if serial is None or "model" in asked.unit or serial in asked.records["units"]:
        return False
    if serial == plain_serials.NO_LAYOUT:
        return False
    if any(serial in str(each) for each in (asked.question["boards"], asked.records["boards"])):
        return False
    asked.unit["serial"] = f"{plain_serials.PREFIX}X9{plain_serials.key_of(serial):04d}"
    return True


def main_reads(rng: Random, asked: Asked) -> bool:
    """What the unit's main board reports, mostly the model that the unit is said to be."""
    serial = asked.unit.get("serial", "")
    known = plain_serials.models_of(asked.catalogue, serial) or frozenset([asked.unit.get("model", "")])
    reported = (
        min(known) if chance(rng, 0.7) and "" not in known else rng.choice(list(asked.catalogue["models"]))
    )
    if any(entry["role"] == "brain" for entry in asked.unit["boards"]):
        return False
    asked.unit["read"] = {"model": reported}
    return True


def second_word(rng: Random, asked: Asked) -> bool:
    """A word on a proposed board's binding beside what is said of it already."""
    entry = rng.choice(asked.question["boards"])
    policies = {part["role"]: part.get("binding", "free") for part in asked.catalogue["parts"]}
    part = {**recorded(asked, entry), **entry}.get("part")
    if policies.get(entry["role"]) == "free" or part is None or not bound_to(asked, part):
        return False
    basis = rng.choice(
        [basis for basis in ("read", "claimed") if "binding" not in entry.get(basis, {})] or [""]
    )
    if not basis:
        return False
    words = ["blank", "bound", "bound"] if basis == "read" else ["blank", "used", "bound", "bound"]
    said: dict[str, Any] = {"binding": rng.choice(words)}
    if said["binding"] == "bound":
        said["bound_model"] = rng.choice(bound_to(asked, part))
    entry.setdefault(basis, {}).update(said)
    return True


def recorded(asked: Asked, entry: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = asked.records["boards"].get(entry.get("serial"), {})
    return found


def bound_to(asked: Asked, part: str) -> list[str]:
    """The models that a board of this part may be bound to."""
    rules = PlainRules(asked.catalogue, plain_serials.break_keys(asked.catalogue))
    return sorted(rules.models_of(part))


def half_known_record(rng: Random, asked: Asked) -> bool:
    """A record of a proposed board that leaves its binding open, or holds a contradiction."""
    entry = rng.choice(asked.question["boards"])
    record = recorded(asked, entry)
    values = record.get("binding", {}).get("values")
    if not values or "part" not in record or not bound_to(asked, record["part"]):
        return False
    another = rng.choice(bound_to(asked, record["part"]))
    kind = rng.choice(["expired", "used", "contradiction", "silent"])
    if kind == "contradiction" and {another} == set(values):
        return False
    record["binding"] = {
        "expired": {"values": sorted({BLANK, values[0]})},
        "used": {"any_model": True},
        "contradiction": {"values": sorted({another, values[0]}), "contradiction": True},
        "silent": {},
    }[kind]
    if kind != "used":
        record.pop("held_serial", None)
    return True


def board_on_record(rng: Random, asked: Asked) -> bool:
    """A staying board that the ledger has put where it is, its pair introduced, not, or broken off."""
    serial = asked.unit.get("serial")
    entries = [entry for entry in asked.unit["boards"] if "part" in entry and "read" not in entry]
    if serial not in asked.records["units"] or not entries:
        return False
    unit, entry = asked.records["units"][serial], rng.choice(entries)
    asked.unit["boards"].remove(entry)
    place = entry["role"] + (f".{entry['place']}" if "place" in entry else "")
    board = f"{plain_serials.BOARD_PREFIX}{90000 + len(unit['boards']):05d}"
    said = entry.get("claimed", {})
    record: dict[str, Any] = {"part": entry["part"], "in_unit": serial}
    if said.get("binding") in ("bound", BLANK):
        record["binding"] = {"values": [said.get("bound_model", BLANK)]}
    if "holds" in said:
        record["held_serial"] = said["holds"]
    asked.records["boards"][board] = record
    unit["boards"][place] = board
    unit["changed"].append(place)
    introduce(rng, asked, place, {**said, **entry}.get("introduced"))
    return True


def introduce(rng: Random, asked: Asked, place: str, introduced: bool | None) -> None:
    """Let the ledger know of a pair. A pair of which it knows nothing else was not introduced."""
    unit = asked.records["units"][asked.unit["serial"]]
    kind = "maybe_introduced" if chance(rng, 0.3) else "not_introduced"
    naming = unit["boards"].get("brain")
    if POLICY.get(place) != "follows":
        return
    if introduced and naming:
        asked.records["boards"][unit["boards"][place]]["partner"] = naming
    else:
        unit.setdefault(kind, []).append(place)


def emptied(rng: Random, asked: Asked) -> bool:
    """A place that the ledger knows to be empty."""
    serial = asked.unit.get("serial")
    entries = list(asked.unit["boards"])
    if serial not in asked.records["units"] or not entries:
        return False
    entry = rng.choice(entries)
    asked.unit["boards"].remove(entry)
    place = entry["role"] + (f".{entry['place']}" if "place" in entry else "")
    for fact in ("emptied", "changed"):
        asked.records["units"][serial].setdefault(fact, []).append(place)
    return True


TWISTS: dict[str, tuple[float, Twist]] = {
    "board_on_record": (0.3, board_on_record),
    "emptied": (0.3, emptied),
    "half_known_record": (0.5, half_known_record),
    "second_word": (0.15, second_word),
    "other_witness": (0.07, other_witness),
    "no_layout": (0.15, no_layout),
    "ambiguous_code": (0.07, ambiguous_code),
    "main_reads": (0.05, main_reads),
}


def twisted(rng: Random, asked: Asked) -> tuple[Asked, frozenset[str]]:
    """The question with some twists, and their names."""
    done = set()
    for name, (share, twist) in TWISTS.items():
        if chance(rng, share) and twist(rng, asked):
            done.add(name)
    return asked, frozenset(done)


def open_question(rng: Random, writer: Writer, world: World) -> tuple[Asked, frozenset[str]]:
    """A question with something left open: boards never spoken of, facts forgotten, words twisted."""
    asked = writer.stated(world)
    for entry in list(asked.unit["boards"]):
        if chance(rng, 0.6) and not entry.get("empty"):
            asked.unit["boards"].remove(entry)
    asked, names = twisted(rng, asked)
    for _ in range(rng.choice([0, 1, 1, 2, 2, 3, 4, 5])):
        facts = forgettable(asked)
        if facts:
            asked = forgotten(asked, rng.choice(facts), rng)
    return asked, names
