"""A whole file taken in: chunk by chunk, each of which stands, or all of it or nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field

from service.files.rows import Flaw, Row
from service.store.engine import Transaction, writing
from service.usecases.importing.chunk import Chunk
from service.usecases.importing.chunks import Line, chunks_of
from service.usecases.importing.entry import Entry
from service.usecases.importing.history import repointed
from service.usecases.importing.renumbering import Renumbering
from service.usecases.importing.source import Source
from service.usecases.importing.tally import Tally, Watcher
from service.usecases.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How a file is taken in."""

    whole: bool = False
    """All of it or nothing: one transaction, so that other writers wait until it ends."""
    dry: bool = False
    """Nothing in the end: a whole one that is taken back."""


@dataclass(slots=True)
class Outcome:
    """What became of some lines."""

    tally: Tally = field(default_factory=Tally)
    flaws: list[Sequence[Flaw]] = field(default_factory=list)
    """Of each line that was refused, what is wrong with it."""

    def refuse(self, flaws: Sequence[Flaw]) -> None:
        self.tally.refused += 1
        self.flaws.append(flaws)


class _TakenBack(Exception):
    """Ends a transaction of which nothing is to stay."""


def take_in(
    shop: Shop, source: Source, rows: Iterable[Row | Flaw], manner: Manner, watcher: Watcher
) -> Tally:
    """Take the rows of a file in; what became of its lines. With `whole` and a refused line nothing stays,
    and the tally tells of what would have been. Raises NoCatalogue, and what reading and writing raise.
    """
    taking = _Taking(shop, source, watcher)
    chunks = chunks_of(source, rows)
    if manner.whole or manner.dry:
        taking.together(chunks, keep=not manner.dry)
    else:
        taking.one_by_one(chunks)
    return taking.tally


class _Taking:
    """A file under way."""

    def __init__(self, shop: Shop, source: Source, watcher: Watcher) -> None:
        self._database = shop.database
        self._compiled = shop.catalogue()
        self._source = source
        self._watcher = watcher
        self._numbers = Renumbering()
        self.tally = Tally()

    def one_by_one(self, chunks: Iterable[list[Line]]) -> None:
        """What is told of a chunk is told when it stands."""
        for chunk in chunks:
            with writing(self._database) as connection:
                outcome = self._take(connection, chunk)
            self._tell(outcome)
            if self._watcher.stop():
                return

    def together(self, chunks: Iterable[list[Line]], *, keep: bool) -> None:
        """Every line is told of, and then all of them stand or none."""
        with suppress(_TakenBack), writing(self._database) as connection:
            for chunk in chunks:
                self._tell(self._take(connection, chunk))
                _take_back(when=self._watcher.stop())
            _take_back(when=self.tally.refused > 0 or not keep)

    def _take(self, connection: Transaction, lines: Sequence[Line]) -> Outcome:
        entries = [line for line in lines if isinstance(line, Entry)]
        chunk = Chunk(connection, self._compiled, self._source.subject, entries, self._source.now)
        outcome = Outcome()
        for line in lines:
            if isinstance(line, Entry):
                self._line(chunk, line, outcome)
            else:
                outcome.refuse(line)
        chunk.keep()
        return outcome

    def _line(self, chunk: Chunk, entry: Entry, outcome: Outcome) -> None:
        seq = chunk.there(entry)
        if seq is not None:
            outcome.tally.there += 1
        else:
            seq = self._new(chunk, entry, outcome)
        if seq is not None and entry.number is not None:
            self._numbers.note(entry.number, seq)

    def _new(self, chunk: Chunk, entry: Entry, outcome: Outcome) -> int | None:
        meant = repointed(entry, self._numbers)
        found = [meant] if isinstance(meant, Flaw) else chunk.take(meant)
        if not isinstance(found, int):
            outcome.refuse(found)
            return None
        outcome.tally.taken += 1
        return found

    def _tell(self, outcome: Outcome) -> None:
        self.tally.add(outcome.tally)
        for flaws in outcome.flaws:
            self._watcher.refused(flaws)
        self._watcher.moved(self.tally)


def _take_back(*, when: bool) -> None:
    if when:
        raise _TakenBack
