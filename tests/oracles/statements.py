"""What a question and the records say, place by place: the input of brute force over worlds.

A question is the plain document of a fit check. Records are a plain document of what a ledger knows:

    {"boards": {serial: {"part", "binding": {"values", "any_model", "contradiction"}, "held_serial",
                         "holder_in_service", "conditions", "partner", "donor", "release"}},
     "units": {serial: {"registered", "in_service", "model", "market", "made_on", "boards": {place: serial},
                        "emptied", "changed", "not_introduced", "maybe_introduced"}}}

Everything may be left out; places are written `main` or `bumper.left`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tests.oracles import plain_serials
from tests.oracles.world import Document

CONDITIONS = {"maybe_exposed": frozenset({"usable", "exposed"})}


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """All that is said of the board at one place."""

    role: str
    proposed: bool
    serial: str | None = None
    empty: bool = False
    part: str | None = None
    record: Mapping[str, Any] | None = None
    """The recorded binding."""
    read: str | None = None
    claimed: str | None = None
    """`blank`, `used` or a model, or None."""
    holds: str | None = None
    conditions: frozenset[str] = frozenset({"usable"})
    introduced: bool | None = None
    release: str | None = None
    partner: str | None = None
    from_here: bool = False
    """It was last taken out of the unit that is asked about."""
    from_elsewhere: bool = False
    """Somebody says that it is a used one, of no model that anybody knows; or it is recorded in another unit,
    or as taken out of one."""

    @property
    def binding_is_said(self) -> bool:
        return self.record is not None or self.read is not None or self.claimed is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSaid:
    """All that is said of the unit itself."""

    models: frozenset[str]
    """The models it can be of."""
    conflict: bool
    """The witnesses of its model differ, and `models` are those of all of them."""
    named: bool
    no_layout: bool
    """Its serial is of no scheme."""
    key: int | None
    day: str | None
    market: str | None
    main_reads: str | None
    """The model that its main board reports."""


class Statements:
    """A question and records over a catalogue document, sorted by place."""

    def __init__(self, catalogue: Document, question: Document, records: Document) -> None:
        self.catalogue = catalogue
        self.records = records
        self.asked = question.get("unit", {})
        self.serial: str | None = self.asked.get("serial")
        self.unit_record: Document = records.get("units", {}).get(self.serial, {})
        self.usual = question.get("assume", "usual") == "usual"
        self.unit = self.unit_said()
        self.proposed = {place_of(each): self.said(each, proposed=True) for each in question["boards"]}
        fitted = {
            place: {"role": place.partition(".")[0], "serial": serial}
            for place, serial in self.unit_record.get("boards", {}).items()
        }
        stated = {place_of(each): each for each in self.asked.get("boards", [])}
        self.staying = {
            place: self.said({**fitted.get(place, {}), **stated.get(place, {})})
            for place in {**fitted, **stated}
        }
        self.emptied = frozenset(self.unit_record.get("emptied", ()))
        self.changed = frozenset(self.unit_record.get("changed", ()))
        self.not_introduced = frozenset(self.unit_record.get("not_introduced", ()))
        self.maybe_introduced = frozenset(self.unit_record.get("maybe_introduced", ()))

    def unit_said(self) -> UnitSaid:
        decoded = plain_serials.models_of(self.catalogue, self.serial) if self.serial else None
        stated = (self.asked.get("model"), self.asked.get("papers_model"), self.unit_record.get("model"))
        witnesses = [frozenset({model}) for model in stated if model]
        if decoded is not None:
            witnesses.append(decoded)
        reads = self.asked.get("read", {}).get("model")
        reports = reads or self.main_reports()
        if not witnesses and reports:
            witnesses.append(frozenset({reports}))
        common = frozenset(self.catalogue["models"]).intersection(*witnesses)
        return UnitSaid(
            models=common or frozenset().union(*witnesses),
            conflict=not common,
            named=self.serial is not None,
            no_layout=self.serial is not None and decoded is None,
            key=plain_serials.key_of(self.serial) if self.serial and decoded is not None else None,
            day=self.unit_record.get("made_on") or self.asked.get("made_on"),
            market=self.unit_record.get("market") or self.asked.get("market"),
            main_reads=reads,
        )

    def main_reports(self) -> str | None:
        """The model that the unit's own naming board reports, where a reading of it is given."""
        naming = {part["role"] for part in self.catalogue["parts"] if part.get("binding") == "names"}
        readings = [
            each["read"] for each in self.asked.get("boards", []) if each["role"] in naming and "read" in each
        ]
        return next((read["bound_model"] for read in readings if read.get("binding") == "bound"), None)

    def said(self, asked: Document, *, proposed: bool = False) -> Said:
        record = self.records.get("boards", {}).get(asked.get("serial"), {})
        read, claimed = asked.get("read", {}), asked.get("claimed", {})
        introduced = [each["introduced"] for each in (asked, claimed) if "introduced" in each]
        condition = claimed.get("condition", "usable")
        conditions = CONDITIONS.get(condition, frozenset({condition}))
        donors = (record.get("donor"), record.get("in_unit"))
        return Said(
            role=asked["role"],
            proposed=proposed,
            serial=asked.get("serial"),
            empty=asked.get("empty", False),
            part=read.get("part") or record.get("part") or asked.get("part") or claimed.get("part"),
            record=record.get("binding"),
            read=word(read),
            claimed=word(claimed),
            holds=self.holds(read, record, claimed),
            conditions=frozenset(record["conditions"]) if "conditions" in record else conditions,
            introduced=introduced[0] if introduced else None,
            release=read.get("release") or record.get("release") or claimed.get("release"),
            partner=record.get("partner"),
            from_here=self.serial is not None and self.serial in donors,
            from_elsewhere="used" in (word(read), word(claimed))
            or "donor" in record
            or record.get("in_unit", self.serial) != self.serial,
        )

    def holds(self, read: Document, record: Document, claimed: Document) -> str | None:
        """Whose serial the board holds, by the strongest word; None where nobody says."""
        if "holds" in read:
            return self.holder(read["holds"])
        if record.get("held_serial") is not None:
            return self.holder(record["held_serial"])
        return self.holder(claimed["holds"]) if "holds" in claimed else None

    def holder(self, serial: str) -> str:
        if not serial:
            return "nothing"
        if serial == self.serial:
            return "this_unit"
        in_service = self.records.get("units", {}).get(serial, {}).get("in_service", False)
        return "in_service" if in_service else "idle"


def place_of(asked: Document) -> str:
    """The place of a board in a question."""
    return f"{asked['role']}.{asked['place']}" if asked.get("place") else str(asked["role"])


def word(said: Document) -> str | None:
    """What a reading or a claim says of the binding."""
    binding = said.get("binding")
    return str(said["bound_model"]) if binding == "bound" else binding
