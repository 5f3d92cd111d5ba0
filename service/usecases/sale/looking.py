"""What the ledger says to a question at the till, in one transaction, and the decision from it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC
from functools import lru_cache
from typing import Any

from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.gathering import serials_of
from service.domain.facts.sources import Sources
from service.domain.ledger.event import Subject, SubjectKind
from service.domain.sale.check import SaleAnswer, check_sale
from service.domain.sale.judging import as_put
from service.domain.sale.past import was_out
from service.domain.sale.question import SaleQuestion
from service.domain.sale.situation import Circumstances
from service.domain.serials import Decoded, Unreadable, UnreadableCause
from service.domain.terms import Serial
from service.papers import load_document
from service.store import revisions
from service.store.engine import Transaction
from service.store.gather import gather
from service.store.ledger import history
from service.store.lock import database_time
from service.usecases.mending import Fault, Refused, read_again


def catalogue_in_force(connection: Transaction, held: CompiledCatalogue) -> CompiledCatalogue:
    """The catalogue that is in force under the ledger's lock: a sale never goes by the one before.

    `held` is the one that the process held when it came here; it looks for a new one every few seconds only.
    """
    newest = revisions.in_force(connection)
    if newest is None or newest == held.catalogue.revision:
        return held
    # Who has the lock asks for no second connection: all others may be held by those who wait for the lock.
    published = revisions.current(connection)
    return held if published is None else _compiled(published.document)


@lru_cache(maxsize=2)
def _compiled(document: str) -> CompiledCatalogue:
    """Kept for the few seconds until the process holds it itself."""
    return compile_catalogue(load_document(document))


class Looked:
    """The records that a question is decided from.

    Raises Refused for a serial that was misread: a board's is what the answer is kept under, and a sale for
    a machine that nobody has would be kept as one that was checked.
    """

    def __init__(self, connection: Transaction, compiled: CompiledCatalogue, question: SaleQuestion) -> None:
        self._compiled = compiled
        self.question = question
        self.now = database_time(connection)
        """By the clock that all tills share."""
        self.board = compiled.read_board(question.board.serial or "").serial
        boards, units = serials_of(compiled, as_put(question))
        self.records = gather(connection, boards, units, question.as_of)
        self.record = self.records.boards.get(self.board)
        if self.record is None:
            _refuse_misread(compiled.read_board(question.board.serial or ""), "board", "label")
        if question.unit.serial and not self.records.units:
            _refuse_misread(compiled.read_unit(question.unit.serial), "unit", "plate")
        donors = {self.record.donor} if self.record and self.record.donor else set()
        self.donors = gather(connection, (), donors, question.as_of).units
        told = history(connection, Subject(SubjectKind.BOARD, self.board))
        self.told_of = bool(told)
        """Whether the ledger speaks of the board at all, today."""
        self.events = [e for e in told if question.as_of is None or e.recorded_at <= question.as_of]

    @property
    def unit(self) -> Serial | None:
        """The machine of the question; None where none is named, or its plate was misread."""
        stated = self.question.unit.serial or self.question.unit.read_serial
        found = self._compiled.read_unit(stated) if stated else None
        if found is None or (isinstance(found, Unreadable) and found.serial not in self.records.units):
            return None
        return found.serial

    def decided(self) -> SaleAnswer:
        """The decision. Raises ImpossibleQuestion."""
        moment = self.question.as_of or self.now
        return check_sale(
            Sources(compiled=self._compiled, records=self.records, looked_up=True),
            self.question,
            Circumstances(
                day=moment.astimezone(UTC).date(),
                was_out=was_out(self.events),
                donor=next(iter(self.donors.values()), None),
            ),
        )

    def read_set(self) -> Mapping[str, Any]:
        """The versions of all that was looked at, and what was looked for and not there."""
        units = {**self.records.units, **self.donors}
        return {
            "boards": {serial: record.version for serial, record in self.records.boards.items()},
            "units": {serial: record.version for serial, record in units.items()},
            "absent": [name for name, there in self._looked_for().items() if not there],
        }

    def _looked_for(self) -> Mapping[str, bool]:
        unit = self.records.units.get(self.unit) if self.unit else None
        return {
            "board.record": self.record is not None,
            "board.hold": bool(self.record and self.record.holds),
            "board.sold": bool(self.record and self.record.sold),
            "unit.record": unit is not None,
            "unit.hold": bool(unit and unit.holds),
            "donor.hold": any(donor.holds for donor in self.donors.values()),
        }


def _refuse_misread(found: Decoded | Unreadable, whose: str, what: str) -> None:
    if isinstance(found, Unreadable) and found.cause is UnreadableCause.CHECK_CHARACTER:
        raise Refused([Fault((whose, "serial"), read_again(found, what))])
