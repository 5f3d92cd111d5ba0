"""The rules of fit in SQL: facts are rows, rules are boolean expressions, chains a recursive query.

The judge is SQLite's own logic. All worlds of a batch are judged by one statement for each rule.
"""

from __future__ import annotations

import sqlite3
import weakref
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from tests.oracles import sqlite_software
from tests.oracles.sqlite_software import SITUATIONS, TEAMS, software_rows
from tests.oracles.world import BLANK, Document, Verdict, World

SCHEMA = """
create table model (model text primary key, covered int, at_power_on int, pair_again int, refused int,
  always int);
create table has_role (model text, role text, required int, primary key (model, role));
create table role_market (model text, role text, market text);
create table need (model text, role text, feature text);
create table place (place text primary key, role text);
create table part (part text primary key, policy text, everywhere int);
create table part_market (part text, market text);
create table feature (part text, feature text, amount int);
create table row (part text, model text, serial_from int, serial_before int, date_from text,
  date_before text);
create table replaces (new text, old text, model text);
create table tool_need (model text, role text);
create table world (id integer primary key, model text, key int, day text, market text);
create table board (world int, place text, part text, binding text, holds text, condition text,
  introduced text, proposed int, release text, primary key (world, place)) without rowid;
"""

REACH = """
create table reach as
with recursive reach (model, part, base) as (
  select model.model, part.part, part.part from model, part
  union
  select reach.model, reach.part, replaces.old from reach
  join replaces on replaces.new = reach.base and (replaces.model is null or replaces.model = reach.model)
) select * from reach;
create index by_part on reach (model, part);
"""

# A role is there unless the papers name markets for it and the unit's is not among them.
VIEWS = """
create view role_here as
select world.id as world, has_role.role, has_role.required from world join has_role using (model)
where not exists (select 1 from role_market r where r.model = world.model and r.role = has_role.role)
  or exists (select 1 from role_market r
             where r.model = world.model and r.role = has_role.role and r.market = world.market);

create view put_in as
select world.id as world, board.place, place.role, board.part, part.policy, board.binding, board.holds,
  board.condition, world.model, world.key, world.day, world.market
from board join world on world.id = board.world join place using (place) join part using (part)
where board.proposed;

create view sits as
select world.id as world, board.place, place.role, board.part, part.policy, board.binding, board.holds,
  board.introduced, board.proposed, board.release, world.model
from board join world on world.id = board.world join place using (place) join part using (part)
join role_here on role_here.world = world.id and role_here.role = place.role;

create view named as select distinct world from sits where policy = 'names';
"""

RULES = {
    3: """select world, place from put_in
          where not exists (select 1 from role_here r
                            where r.world = put_in.world and r.role = put_in.role)""",
    4: """select world, place from put_in join part using (part)
          where not (part.everywhere or exists (select 1 from part_market m
                                                where m.part = put_in.part and m.market = put_in.market))
          or not exists (
            select 1 from reach join row on row.part = reach.base and row.model = reach.model
            where reach.model = put_in.model and reach.part = put_in.part
              and coalesce(row.serial_from <= put_in.key, 1) and coalesce(put_in.key < row.serial_before, 1)
              and coalesce(row.date_from <= put_in.day, 1) and coalesce(put_in.day < row.date_before, 1))""",
    5: """select world, place from put_in
          where policy <> 'free' and binding <> 'blank' and binding <> model""",
    6: """select world, place from sits
          where policy <> 'free' and binding <> 'blank' and binding <> model""",
    7: """select role_here.world, place.place from role_here join place using (role)
          left join board on board.world = role_here.world and board.place = place.place
          where role_here.required and board.part is null
          union
          select sits.world, sits.place from sits join need using (model, role)
          left join feature on feature.part = sits.part and feature.feature = need.feature
          where coalesce(feature.amount, 0) < 1
          union
          select world, place from sits
          where policy = 'follows' and binding = 'blank' and world not in (select world from named)""",
    8: """select world, place from put_in join model using (model)
          where policy = 'names' and holds = 'in_service' and refused""",
    9: "select world, place from put_in where condition <> 'usable'",
    10: sqlite_software.RULE,
}

PROGRAMMING = """
select distinct sits.world from sits join model using (model) where
  (policy = 'names' and binding = 'blank')
  or (policy = 'names' and binding <> 'blank'
      and case holds when 'in_service' then proposed or not refused when 'idle' then always else 0 end)
  or (policy = 'follows' and binding = 'blank' and not at_power_on)
  or (policy = 'follows' and binding <> 'blank' and world in (select world from named)
      and not (introduced = 'yes' or (introduced = 'moved_pair' and not pair_again)))
  or (policy = 'free' and proposed
      and exists (select 1 from tool_need t where t.model = sits.model and t.role = sits.role))
"""


class SqliteOracle:
    """Judges worlds over one catalogue document, a batch at a time."""

    def __init__(self, document: Document, serial_key: dict[str, int]) -> None:
        """Take a document, and the order key of every serial that stands in one of its breaks."""
        self.keys = serial_key
        self.db = sqlite3.connect(":memory:")
        self.db.executescript(SCHEMA + sqlite_software.SCHEMA)
        for table, rows in (*catalogue_rows(document, serial_key), *software_rows(document)):
            self.insert(table, rows)
        self.db.executescript(REACH + VIEWS + TEAMS)
        weakref.finalize(self, self.db.close)

    def insert(self, table: str, rows: Sequence[Sequence[Any]]) -> None:
        if rows:
            marks = ", ".join("?" for _ in rows[0])
            self.db.executemany(f"insert into {table} values ({marks})", rows)  # noqa: S608 - own table names

    def judge(self, worlds: Sequence[World]) -> list[Verdict]:
        """The verdict of each world, in the order given."""
        self.db.executescript("delete from world; delete from board;")
        numbered = list(enumerate(worlds))
        self.insert("world", [(at, w.model, w.key, w.day, w.market) for at, w in numbered])
        self.insert("board", [row for at, world in numbered for row in board_rows(at, world)])
        self.db.executescript(SITUATIONS)
        failures: dict[int, set[tuple[int, str]]] = defaultdict(set)
        for rule, statement in RULES.items():
            for world, place in self.db.execute(statement):
                failures[world].add((rule, place))
        uncovered = self.worlds("select id from world join model using (model) where not covered")
        needed = self.worlds(PROGRAMMING) | self.worlds(sqlite_software.PROGRAMMING)
        return [verdict(failures[at], at in uncovered, at in needed) for at, _ in numbered]

    def worlds(self, statement: str) -> set[int]:
        return {row[0] for row in self.db.execute(statement)}


def verdict(failures: set[tuple[int, str]], uncovered: bool, needed: bool) -> Verdict:
    """Put what the statements found together. Rules 5 and 9 stand against an uncovered model too."""
    if uncovered:
        failures = {each for each in failures if each[0] in {5, 9}} or {(2, "")}
    if not failures:
        return Verdict(outcome="needed" if needed else "none", rule=0, deciding=frozenset())
    rule = min(failures)[0]
    deciding = frozenset(each for each in failures if each[0] == rule)
    return Verdict(outcome="out_of_scope" if rule == 2 else "no", rule=rule, deciding=deciding)


def board_rows(at: int, world: World) -> Iterator[tuple[Any, ...]]:
    for place, board in world.boards.items():
        if board is not None:
            yield (
                at, place, board.part, board.binding or BLANK, board.holds, board.condition,
                board.introduced, board.proposed, board.release,
            )  # fmt: skip


def catalogue_rows(document: Document, keys: dict[str, int]) -> Iterator[tuple[str, list[tuple[Any, ...]]]]:
    """The catalogue as rows for each table."""
    models = document["models"]
    yield "model", [(m, *policies(document["families"][each["family"]])) for m, each in models.items()]
    needs = [(m, role, need) for m, each in models.items() for role, need in each.get("roles", {}).items()]
    yield "has_role", [(m, role, need.get("required", True)) for m, role, need in needs]
    yield "role_market", [(m, role, each) for m, role, need in needs for each in need.get("markets", [])]
    yield "need", [(m, role, each) for m, role, need in needs for each in need.get("features", [])]
    yield "place", list(place_rows(document))
    yield "tool_need", list(tool_rows(document))
    parts = document["parts"]
    yield "part", [(p["number"], p.get("binding", "free"), "markets" not in p) for p in parts]
    yield "part_market", [(p["number"], each) for p in parts for each in p.get("markets", [])]
    yield "feature", [(p["number"], *pair) for p in parts for pair in p.get("features", {}).items()]
    yield "row", [row for p in parts for row in listing_rows(p, keys)]
    yield "replaces", [row for p in parts for row in replacement_rows(p)]


def policies(family: Document) -> tuple[bool, ...]:
    """Covered, binds at power-on, a moved pair introduced again, another serial refused, always entered."""
    return (
        family.get("covered", True),
        family.get("blank_follower_binds") == "at_power_on",
        family.get("matched_pair_moved") != "nothing",
        family.get("another_serial") != "allowed",
        family.get("enter_serial") == "always",
    )


def place_rows(document: Document) -> Iterable[tuple[str, str]]:
    for role, each in document["roles"].items():
        for name in each.get("places") or [""]:
            yield f"{role}.{name}" if name else role, role


def tool_rows(document: Document) -> Iterable[tuple[str, str]]:
    """Models and roles in which a newly fitted free part still needs a step with the programming tool."""
    for model, each in document["models"].items():
        family = document["families"][each["family"]]
        tools = [row["step"] for row in family.get("procedures", []) if row.get("tool")]
        for role, steps in family.get("free_part_needs", {}).items():
            if any(step in tools for step in steps):
                yield model, role


def listing_rows(part: Document, keys: dict[str, int]) -> Iterable[tuple[Any, ...]]:
    for row in part.get("fits", []):
        for model in row["models"]:
            yield (
                part["number"],
                model,
                keys.get(row.get("serial_from")),
                keys.get(row.get("serial_before")),
                row.get("date_from"),
                row.get("date_before"),
            )


def replacement_rows(part: Document) -> Iterable[tuple[str, str, str | None]]:
    for row in part.get("replaces", []):
        for model in row.get("models", [None]):
            yield part["number"], row["part"], model
            if row.get("both_ways"):
                yield row["part"], part["number"], model
