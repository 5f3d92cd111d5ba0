"""Format 1 of a catalogue, field by field. What each means stands in the demo catalogue's comments.

A schema of the document and nothing else: names that refer to each other are shapes too (`Ref`), so no
reference can be forgotten. What takes more than one place to see is in `service.papers.meaning`.
"""

from __future__ import annotations

import re
from enum import StrEnum

from service.domain.catalogue.model import SINGLE_PLACE
from service.domain.software.versions import LONGEST
from service.domain.terms import BindingPolicy, Overload, StepKind, Who
from service.papers.shapes.containers import Entry, Many, Named, Record, Table, needed, optional
from service.papers.shapes.context import Kind, Shape
from service.papers.shapes.scalars import Choice, Day, Flag, Measure, Money, Percent, Ref, Text, Whole
from service.papers.shapes.untyped import Untyped

MOST_PARTS = 5_000
MOST_MODELS = 500
MOST_ROLES = 64
MOST_SCHEMES = 20


def _words(words: type[StrEnum], *without: StrEnum) -> Choice:
    return Choice(frozenset(str(word) for word in words if word not in without))


def _either(default: str, other: str) -> Entry:
    return optional(Choice(frozenset((default, other))), default)


def _refs(kind: Kind, least: int = 1) -> Many:
    return Many(Ref(kind), least=least, most=MOST_MODELS)


DASHED = Text(
    most=64,
    pattern=re.compile(r"[a-z0-9]+(-[a-z0-9]+)*\Z"),
    say="use lower-case letters and digits, joined by -, as in curlew-20-a",
)
SCORED = Text(
    most=64,
    pattern=re.compile(r"[a-z0-9]+(_[a-z0-9]+)*\Z"),
    say="use lower-case letters and digits, joined by _, as in battery_packs",
)
NUMBER = Text(
    most=40,
    pattern=re.compile(r"[0-9A-Za-z]([0-9A-Za-z ./_-]*[0-9A-Za-z])?\Z"),
    say="use letters and digits, with blanks, points, dashes or slashes between them only",
)
LANGUAGE = Text(
    most=35,
    pattern=re.compile(r"[a-z]{2,8}(-[A-Za-z0-9]{1,8})*\Z"),
    say="write the code of a language, as in de or pt-BR",
)
CURRENCY = Text(most=3, pattern=re.compile(r"[A-Z]{3}\Z"), say="write the three letters of ISO 4217: EUR")
RELEASE = Text(most=40)
RANGE = Text(most=LONGEST)
NAME = Text(most=120)
PROSE = Text(most=500)
MARKETS = optional(_refs(Kind.MARKET))

RELEASED = Record(
    {
        "version": needed(RELEASE),
        "parts": optional(_refs(Kind.PART)),
        "models": optional(_refs(Kind.MODEL)),
        "needs": optional(Table(Ref(Kind.ROLE), RANGE, least=1, most=MOST_ROLES), {}),
        "loads_from": optional(RANGE),
    },
    "a release",
)
"""A release; one of which there is nothing more to say stands as its name alone."""

CONNECTION = Record({"through": needed(Ref(Kind.ROLE)), "cable": needed(NAME)}, "a connection")

ROLE = Record(
    {
        "name": needed(NAME),
        "where": optional(PROSE, ""),
        "recognise": optional(PROSE, ""),
        "functions": optional(Table(SCORED, NAME), {}),
        "connection": optional(CONNECTION),
        "places": optional(Many(SCORED, least=2, most=8), [SINGLE_PLACE]),
        "releases": optional(Many(Named("version", RELEASED), least=1, most=200), []),
        "safety": optional(Flag(), default=True),
    },
    "a role",
)

HARDWARE = Record({"role": needed(Ref(Kind.ROLE)), "feature": needed(Ref(Kind.FEATURE))}, "a hardware need")

CAPABILITY = Record(
    {
        "name": needed(NAME),
        "kind": needed(Choice(frozenset(("switch", "count")))),
        "hardware": optional(Many(HARDWARE, least=1, most=MOST_ROLES), []),
        "accessory": optional(Ref(Kind.ACCESSORY)),
        "releases": optional(Table(Ref(Kind.ROLE), RELEASE), {}),
    },
    "a capability",
)

PROCEDURE = Record(
    {
        "step": needed(_words(StepKind)),
        "who": needed(_words(Who)),
        "minutes": needed(Many(Whole(0, 1_440), least=2, most=2, once=False)),
        "tool": optional(Flag(), default=False),
        "subject": optional(SCORED, ""),
        "name": optional(NAME, ""),
    },
    "a procedure",
)

AFTERWARDS = (StepKind.CALIBRATE,)
"""The steps that a newly fitted board without binding may still need, beyond those of every swap."""

FAMILY = Record(
    {
        "name": needed(NAME),
        "covered": optional(Flag(), default=True),
        "blank_follower_binds": _either("by_programming", "at_power_on"),
        "matched_pair_moved": _either("introduce_again", "nothing"),
        "another_serial": _either("refused", "allowed"),
        "enter_serial": _either("when_in_service", "always"),
        "procedures": optional(Many(PROCEDURE, most=64), []),
        "free_part_needs": optional(
            Table(Ref(Kind.ROLE), Many(Choice(frozenset(map(str, AFTERWARDS))), least=1, most=4)), {}
        ),
    },
    "a family",
)

MODEL_ROLE = Record(
    {
        "required": optional(Flag(), default=True),
        "features": optional(_refs(Kind.FEATURE), []),
        "markets": MARKETS,
    },
    "a model's role",
)

ALLOWANCE = Record(
    {
        "amount": needed(Whole(0, 1_000_000)),
        "more": optional(_words(Overload), str(Overload.IGNORED)),
        "planned": optional(Flag(), default=False),
        "markets": MARKETS,
    },
    "an allowance",
)

MODEL = Record(
    {
        "name": needed(NAME),
        "family": needed(Ref(Kind.FAMILY)),
        "markets": MARKETS,
        "roles": optional(Table(Ref(Kind.ROLE), MODEL_ROLE), {}),
        "allows": optional(Table(Ref(Kind.CAPABILITY), ALLOWANCE), {}),
    },
    "a model",
)

BREAK = {
    "serial_from": optional(NUMBER),
    "serial_before": optional(NUMBER),
    "date_from": optional(Day()),
    "date_before": optional(Day()),
}
"""From inclusive, before exclusive; on one axis."""

LISTING = Record({"models": needed(_refs(Kind.MODEL)), **BREAK}, "a row of fits")

REPLACEMENT = Record(
    {
        "part": needed(Ref(Kind.PART)),
        "both_ways": optional(Flag(), default=False),
        "models": optional(_refs(Kind.MODEL)),
    },
    "a replacement",
)

COMPANION = Record(
    {"number": needed(NUMBER), "name": needed(NAME), "price": optional(Money())},
    "a companion",
)

PART = Record(
    {
        "number": needed(NUMBER),
        "name": needed(NAME),
        "role": needed(Ref(Kind.ROLE)),
        "binding": optional(_words(BindingPolicy), str(BindingPolicy.FREE)),
        "features": optional(Table(Ref(Kind.FEATURE), Whole(1, 1_000_000)), {}),
        "printed": optional(Many(NUMBER, most=50), []),
        "fits": optional(Many(LISTING, most=MOST_MODELS), []),
        "markets": MARKETS,
        "replaces": optional(Many(REPLACEMENT, most=100), []),
        "goes_with": optional(Many(COMPANION, most=50), []),
        "price": optional(Money()),
        "lead_days": optional(Whole(0, 1_000)),
        "release": optional(RELEASE),
        "used_price": optional(Money()),
    },
    "a part",
)

TAX = Record(
    {"rate": needed(Percent()), "prices": needed(Choice(frozenset(("excluded", "included"))))}, "a tax"
)

SALE_TERMS = Record(
    {
        "tax": needed(TAX),
        "programming_fee": needed(Money()),
        "labour_per_hour": needed(Money()),
        "receipt": needed(PROSE),
        "returns": needed(PROSE),
        "own_board": optional(PROSE),
        "warranty_months": optional(Whole(1, 600)),
    },
    "a market's sale",
)

SALE = Record(
    {
        "valid_days": needed(Whole(1, 366)),
        "markets": needed(Table(Ref(Kind.MARKET), SALE_TERMS, least=1, most=64)),
    },
    "a sale",
)

CAMPAIGN = Record(
    {
        "name": needed(NAME),
        "text": needed(PROSE),
        "models": optional(_refs(Kind.MODEL)),
        "parts": optional(_refs(Kind.PART)),
        **BREAK,
    },
    "a campaign",
)

PERFORMANCE = Record(
    {
        "draw_watts": optional(Measure(10_000)),
        "usable_percent": optional(Measure(100)),
        "charge_amps": optional(Measure(1_000)),
        "cutting_width_m": optional(Measure(10)),
        "speed_m_per_s": optional(Measure(10)),
        "allowed_hours": optional(Measure(24)),
    },
    "a model's performance",
)

MODEL_OFFER = Record(
    {
        "price": optional(Money()),
        "trade_in": optional(Money()),
        "lead_days": optional(Whole(0, 1_000)),
        "performance": optional(PERFORMANCE),
    },
    "a model's offer",
)

ACCESSORY_OFFER = Record(
    {
        "number": needed(NUMBER),
        "price": needed(Money()),
        "lead_days": optional(Whole(0, 1_000)),
        "volts": optional(Measure(1_000)),
        "amp_hours": optional(Measure(10_000)),
        "cell_watt_hours": optional(Measure(10_000)),
    },
    "an accessory's offer",
)

CONVERSION = Record(
    {
        "from": needed(Ref(Kind.MODEL)),
        "to": needed(Ref(Kind.MODEL)),
        "policy": needed(Choice(frozenset(("never", "maker_issues_serial")))),
        "price": optional(Money()),
        "lead_days": optional(Whole(0, 1_000)),
    },
    "a conversion",
)

UPGRADES = Record(
    {
        "worth_it_percent": needed(Percent()),
        "models": optional(Table(Ref(Kind.MODEL), MODEL_OFFER, most=MOST_MODELS), {}),
        "accessories": optional(Table(Ref(Kind.ACCESSORY), ACCESSORY_OFFER, most=100), {}),
        "conversions": optional(Many(CONVERSION, most=500), []),
    },
    "upgrades",
)


def _named(key: Shape, value: Shape, most: int, least: int = 0) -> Table:
    return Table(key, value, least=least, most=most)


DOCUMENT = Record(
    {
        "format": needed(Whole(1, 1)),
        "maker": needed(NAME),
        "dealer": needed(NAME),
        "currency": needed(CURRENCY),
        "markets": needed(_named(DASHED, NAME, most=64, least=1)),
        "features": optional(_named(SCORED, NAME, most=500), {}),
        "accessories": optional(_named(SCORED, NAME, most=100), {}),
        "schemes": optional(Many(Untyped(), most=MOST_SCHEMES), []),
        "roles": needed(_named(SCORED, ROLE, most=MOST_ROLES, least=1)),
        "capabilities": optional(_named(SCORED, CAPABILITY, most=200), {}),
        "families": needed(_named(DASHED, FAMILY, most=200, least=1)),
        "models": needed(_named(DASHED, MODEL, most=MOST_MODELS, least=1)),
        "parts": needed(Many(PART, most=MOST_PARTS)),
        "sale": optional(SALE),
        "campaigns": optional(_named(DASHED, CAMPAIGN, most=500), {}),
        "translations": optional(_named(LANGUAGE, _named(PROSE, PROSE, most=5_000), most=20), {}),
        "upgrades": optional(UPGRADES),
    },
    "a catalogue",
)
