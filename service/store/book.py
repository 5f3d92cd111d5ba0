"""The part of the ledger that one append works on: states, bindings and versions of its subjects.

Everything is loaded by set and changed in memory; `append` writes the outcome at the end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from sqlalchemy import Connection

from service.domain.ledger.bindings import Binding, bindings_in, first_binding, is_act
from service.domain.ledger.event import Event, Subject, SubjectKind
from service.domain.ledger.fold import States, step, withdrawn
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import ModelId, Serial
from service.store.ledger import streams
from service.store.opening import bindings_of, states_of
from service.store.past import folded

Held = TypeVar("Held")


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What a book held of some subjects at one moment, to go back to."""

    boards: Mapping[Serial, BoardState | None]
    units: Mapping[Serial, UnitState | None]
    last: Mapping[Serial, Binding | None]
    void: frozenset[int]
    events: int
    bindings: int


@dataclass(slots=True)
class Book:
    """States in force, the last binding of each board, and what was added."""

    states: States
    last: dict[Serial, Binding]
    """Each board's binding of the highest epoch, withdrawn or not."""
    void: set[int]
    """Numbers of the events behind `last` that corrections withdrew."""
    events: list[Event] = field(default_factory=list)
    bindings: list[Binding] = field(default_factory=list)
    known: set[Subject] = field(default_factory=set)
    """The subjects that were looked up, whether anything was found or not."""

    @property
    def withdrawn(self) -> frozenset[int]:
        """Numbers of the events that corrections added here withdrew."""
        return withdrawn(self.events)

    def look_up(self, connection: Connection, subjects: Iterable[Subject]) -> None:
        """Add what the ledger holds of those of the subjects that were not looked up yet."""
        unknown = set(subjects) - self.known
        if unknown:
            found = open_book(connection, unknown)
            self.states.boards.update(found.states.boards)
            self.states.units.update(found.states.units)
            self.last.update(found.last)
            self.void |= found.void
            self.known |= unknown

    def before(self, subjects: Iterable[Subject]) -> Before:
        """What is held of these subjects now. States and bindings are values, so it costs little."""
        boards = [subject.serial for subject in subjects if subject.kind is SubjectKind.BOARD]
        units = [subject.serial for subject in subjects if subject.kind is SubjectKind.UNIT]
        return Before(
            boards={serial: self.states.boards.get(serial) for serial in boards},
            units={serial: self.states.units.get(serial) for serial in units},
            last={serial: self.last.get(serial) for serial in boards},
            void=frozenset(self.void),
            events=len(self.events),
            bindings=len(self.bindings),
        )

    def back_to(self, before: Before) -> None:
        """Forget what was added since, which spoke of those subjects alone."""
        _restore(self.states.boards, before.boards)
        _restore(self.states.units, before.units)
        _restore(self.last, before.last)
        self.void = set(before.void)
        del self.events[before.events :]
        del self.bindings[before.bindings :]

    def version(self, subject: Subject) -> int:
        """How many events speak of a subject; 0 where none does."""
        if subject.kind is SubjectKind.BOARD:
            board = self.states.boards.get(subject.serial)
            return board.record.version if board else 0
        unit = self.states.units.get(subject.serial)
        return unit.record.version if unit else 0

    def add(self, event: Event) -> None:
        """Take one more event into account that is not a correction."""
        self.events.append(event)
        step(self.states, event)
        for board, model in bindings_in(event):
            self._bind(board, model, event.seq)

    def correct(self, connection: Connection, event: Event) -> None:
        """Take a correction into account: its subjects are folded anew, without what it withdraws."""
        self.events.append(event)
        told = streams(connection, event.subjects) + self.events
        anew = folded(told, event.subjects)
        self.states.boards.update(anew.boards)
        self.states.units.update(anew.units)
        self._rebind(event, told)

    def standing_binding(self, board: Serial) -> Binding | None:
        """The binding of a board that no correction took back."""
        last = self.last.get(board)
        return None if last is None or last.seq in self.void else last

    def _bind(self, board: Serial, model: ModelId, seq: int) -> None:
        if self.standing_binding(board) is None:
            before = self.last.get(board)
            epoch = 1 if before is None else before.epoch + 1
            self._record(Binding(board=board, epoch=epoch, model=model, seq=seq))

    def _rebind(self, correction: Event, told: list[Event]) -> None:
        """Where the binding event was withdrawn, the first that is left binds, in the next epoch."""
        self.void.add(correction.data["withdraws"])
        for kind, serial in correction.subjects:
            last = self.last.get(serial)
            if kind is SubjectKind.UNIT or (last is not None and last.seq not in self.void):
                continue
            stream = [event for event in told if Subject(kind, serial) in event.subjects]
            left = first_binding(serial, stream, 1 if last is None else last.epoch + 1)
            if left is not None:
                self._record(left)

    def _record(self, binding: Binding) -> None:
        self.last[binding.board] = binding
        self.bindings.append(binding)


def _restore(held: dict[Serial, Held], earlier: Mapping[Serial, Held | None]) -> None:
    for serial, value in earlier.items():
        if value is None:
            held.pop(serial, None)
        else:
            held[serial] = value


def clashing(book: Book, event: Event) -> Binding | None:
    """The binding that forbids an event: a board is bound once, and another model is not an option."""
    if not is_act(event):
        return None
    for board, model in bindings_in(event):
        standing = book.standing_binding(board)
        if standing is not None and standing.model != model:
            return standing
    return None


def open_book(connection: Connection, subjects: Iterable[Subject]) -> Book:
    """The book of these subjects, as the ledger stands."""
    wanted = set(subjects)
    boards = [subject.serial for subject in wanted if subject.kind is SubjectKind.BOARD]
    units = [subject.serial for subject in wanted if subject.kind is SubjectKind.UNIT]
    last, void = bindings_of(connection, boards)
    return Book(states=states_of(connection, boards, units), last=last, void=void, known=wanted)
