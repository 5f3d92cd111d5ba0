"""Lines taken into the ledger, a chunk of them in one transaction: their events, and their marks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from functools import partial

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.ledger.event import Draft, Subject, SubjectKind
from service.domain.recording.legality import judge
from service.domain.terms import Serial
from service.files.rows import Flaw
from service.store.appending import Appending
from service.store.engine import Transaction
from service.store.errors import Conflict, InvalidEvents, NotCorrectable
from service.store.gather import gather
from service.store.imported import keep_marks, mark_of, marked
from service.store.lock import take_write_lock
from service.usecases.caller import STAFF
from service.usecases.importing.entry import Entry
from service.usecases.importing.flaws import flaws_of
from service.usecases.importing.history import recorded_here
from service.usecases.importing.refusals import refused
from service.usecases.intake import Known, Told, drafted, serials_of
from service.usecases.mending import Fault
from service.words.language import language
from service.words.names import Names


class Chunk:
    """Lines that stand or fall with one transaction, each taken in by itself."""

    def __init__(
        self,
        connection: Transaction,
        compiled: CompiledCatalogue,
        kind: str,
        entries: Sequence[Entry],
        now: datetime,
    ) -> None:
        """Look everything up at once. The connection is one of `engine.writing`."""
        take_write_lock(connection)
        self._connection = connection
        self._now = now
        self._marks = {entry.line: mark_of(kind, entry.content) for entry in entries if not entry.flaws}
        good = {self._marks[entry.line]: entry for entry in entries if not entry.flaws}
        self._there = marked(connection, good) | recorded_here(connection, good)
        self._added: dict[str, int] = {}
        self._names = Names(compiled.catalogue, language(STAFF.language))
        told = [each for entry in entries if self.there(entry) is None for each in entry.told]
        boards, units = serials_of(compiled, told)
        self._known = Known(compiled, gather(connection, boards, units))
        subjects = [Subject(SubjectKind.BOARD, serial) for serial in boards]
        subjects += [Subject(SubjectKind.UNIT, serial) for serial in units | _holders(compiled, told)]
        self._appending = Appending(connection, subjects, partial(judge, compiled))

    def there(self, entry: Entry) -> int | None:
        """The first event of a line that was taken in before; None where it is new."""
        mark = self._marks.get(entry.line, "")
        return self._there.get(mark) or self._added.get(mark)

    def take(self, entry: Entry) -> int | Sequence[Flaw]:
        """The number of a new line's first event, or why it is refused."""
        drafts, faults = self._drafts(entry)
        if faults or entry.flaws:
            return flaws_of(entry, faults)
        try:
            events = self._appending.take(drafts)
        except (Conflict, InvalidEvents, NotCorrectable) as error:
            return refused(entry, error, self._names)
        for draft in drafts:
            self._known.learn(draft.kind, draft.data)
        self._added[self._marks[entry.line]] = events[0].seq
        return events[0].seq

    def keep(self) -> None:
        """Write what was taken in, and its marks."""
        self._appending.keep()
        keep_marks(self._connection, self._added)

    def _drafts(self, entry: Entry) -> tuple[list[Draft], list[Fault]]:
        """The events of a line as they are recorded; history is taken word for word."""
        if entry.recorded_at is not None:
            return [_word_for_word(told, self._now) for told in entry.told], []
        made = [drafted(self._known, told, self._now) for told in entry.told]
        return [draft for draft, _ in made], [fault for _, faults in made for fault in faults]


def _holders(compiled: CompiledCatalogue, told: Iterable[Told]) -> set[Serial]:
    """The units whose serials boards are told to hold: what they are judged by."""
    return {compiled.read_unit(each.data["holds"]).serial for each in told if each.data.get("holds")}


def _word_for_word(told: Told, now: datetime) -> Draft:
    return Draft(kind=told.kind, occurred_at=told.occurred_at or now, data=told.data)
