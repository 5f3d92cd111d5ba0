"""Rule 10 in SQL: every set of releases that loads lead to is a row of one recursive query.

A *situation* is a group of boards with what is on them, one for all worlds that have it. Its states are JSON
objects of places and what they carry.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tests.oracles.plain_software import versions_in, whole
from tests.oracles.world import Document, places_of

SCHEMA = """
create table listed (role text, version text, any_part int, any_model int, any_source int,
  primary key (role, version));
create table runs (role text, version text, part text);
create table made_for (role text, version text, model text);
create table source (role text, version text, over text);
create table asks (role text, version text, other text);
create table meets (role text, version text, other text, beside text);
create table spot (place text primary key, at int);
create table loading (model text primary key, by_tool int);
"""

TEAMS = """
create table team as
with recursive near (role, other) as (
  select distinct role, role from listed
  union select near.role, asks.other from near join asks on asks.role = near.other
  union select near.role, asks.role from near join asks on asks.other = near.other
) select role, min(other) as team from near group by role;
"""

SITUATIONS = """
drop table if exists member; drop table if exists told; drop table if exists situation;
drop table if exists piece; drop table if exists usable; drop table if exists may_carry;
drop table if exists loads; drop table if exists clash; drop table if exists odd;
drop table if exists state; drop table if exists good; drop table if exists meeting;

create table member as
select sits.world, team.team, sits.model, sits.place, sits.role, sits.part, sits.proposed, sits.release,
  spot.at
from sits join team using (role) join spot using (place) order by sits.world, spot.at;

create table told as
select world, team, model, model || ' ' || group_concat(place || '=' || part || '@' || release, ' ') as key,
  json_group_object(place, release) as state, min(world) as of_world from member group by world, team;
create table situation (id integer primary key, key text unique, model text, team text, state text,
  world int);
insert or ignore into situation (key, model, team, state, world)
  select key, model, team, state, of_world from told;
create table meeting as
select told.world, told.team, situation.id as sit from told join situation using (key);
create index meeting_sit on meeting (sit);

create table piece as
select situation.id as sit, member.place, member.role, member.part, member.release, situation.model
from situation join member on member.world = situation.world and member.team = situation.team;

create table usable as
select piece.sit, piece.place, listed.role, listed.version from piece join listed using (role)
where (any_part or exists (select 1 from runs r where r.role = listed.role and r.version = listed.version
                             and r.part = piece.part))
  and (any_model or exists (select 1 from made_for m where m.role = listed.role
                              and m.version = listed.version and m.model = piece.model));
create unique index usable_at on usable (sit, place, version);

create table may_carry as
select sit, place, role, release as version from piece
union select piece.sit, piece.place, piece.role, listed.version from piece join listed using (role);

create table loads as
select usable.sit, usable.place, old.version as before, usable.version as after
from usable join listed using (role, version)
join may_carry old on old.sit = usable.sit and old.place = usable.place and old.version <> usable.version
where any_source or exists (select 1 from source s where s.role = usable.role and s.version = usable.version
                              and s.over = old.version);
create index loads_at on loads (sit, place, before);

create table clash as
with unmet (sit, one, mine, other, yours) as (
  select a.sit, a.place, a.version, b.place, b.version from may_carry a
  join asks on asks.role = a.role and asks.version = a.version
  join may_carry b on b.sit = a.sit and b.place <> a.place and b.role = asks.other
  where not exists (select 1 from meets m where m.role = a.role and m.version = a.version
                      and m.other = b.role and m.beside = b.version))
select * from unmet union select sit, other, yours, one, mine from unmet;
create index clash_at on clash (sit, one, mine);

create table odd as
select clash.sit, clash.one, clash.other from clash
join piece a on a.sit = clash.sit and a.place = clash.one and a.release = clash.mine
join piece b on b.sit = clash.sit and b.place = clash.other and b.release = clash.yours;

create table state as
with recursive reached (sit, state) as (
  select id, state from situation
  union
  select reached.sit, json_set(reached.state, '$."' || loads.place || '"', loads.after)
  from reached join loads on loads.sit = reached.sit
    and loads.before = json_extract(reached.state, '$."' || loads.place || '"')
  where not exists (
    select 1 from clash where clash.sit = loads.sit and clash.one = loads.place and clash.mine = loads.after
      and clash.yours = json_extract(reached.state, '$."' || clash.other || '"')
      and not exists (select 1 from odd where odd.sit = clash.sit and odd.one = clash.one
                        and odd.other = clash.other))
) select * from reached;

create table good as
select state.sit, state.state = situation.state as now from state join situation on situation.id = state.sit
where not exists (
  select 1 from json_each(state.state) on_it
  where not exists (select 1 from usable u where u.sit = state.sit and u.place = on_it.key
                      and u.version = on_it.value)
     or exists (select 1 from clash where clash.sit = state.sit and clash.one = on_it.key
                  and clash.mine = on_it.value
                  and clash.yours = json_extract(state.state, '$."' || clash.other || '"')));
create index good_sit on good (sit, now);
"""

RULE = """
select meeting.world, (select place from member where member.world = meeting.world
                         and member.team = meeting.team order by not proposed, at limit 1)
from meeting where not exists (select 1 from good where good.sit = meeting.sit)
"""

PROGRAMMING = """
select meeting.world from meeting join situation on situation.id = meeting.sit join loading using (model)
where by_tool and exists (select 1 from good where good.sit = meeting.sit)
  and not exists (select 1 from good where good.sit = meeting.sit and good.now)
"""


def software_rows(document: Document) -> Iterator[tuple[str, list[tuple[Any, ...]]]]:
    """The software of a catalogue as rows for each table."""
    listed = [
        (role, each["version"], each)
        for role, told in document["roles"].items()
        for each in map(whole, told.get("releases", []))
    ]
    limits = ("parts", "models", "loads_from")
    yield (
        "listed",
        [(role, version, *(name not in each for name in limits)) for role, version, each in listed],
    )
    yield "runs", [(r, v, part) for r, v, each in listed for part in each.get("parts", [])]
    yield "made_for", [(r, v, model) for r, v, each in listed for model in each.get("models", [])]
    yield (
        "source",
        [(r, v, over) for r, v, each in listed for over in versions_in(each.get("loads_from", ""))],
    )
    needs = [(r, v, other, text) for r, v, each in listed for other, text in each.get("needs", {}).items()]
    yield "asks", [(r, v, other) for r, v, other, _ in needs]
    yield "meets", [(r, v, other, beside) for r, v, other, text in needs for beside in versions_in(text)]
    places = [place for role in document["roles"] for place in places_of(role, document)]
    yield "spot", [(place, at) for at, place in enumerate(places)]
    yield "loading", list(loading_rows(document))


def loading_rows(document: Document) -> Iterator[tuple[str, bool]]:
    """Whether loading takes the programming tool; it does where nobody says how it is done."""
    for model, each in document["models"].items():
        procedures = document["families"][each["family"]].get("procedures", [])
        loads = [row for row in procedures if row["step"] == "load"]
        yield model, not loads or any(row.get("tool", False) for row in loads)
