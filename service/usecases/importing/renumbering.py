"""Numbers of events in a file, and the numbers that those events got here."""

from __future__ import annotations

from bisect import bisect_right


class Renumbering:
    """From the numbers of a file to those of this ledger.

    A file that is taken in whole has one distance between the two, so what is kept are stretches of
    equal distance, not numbers: a million events cost no more than one.
    """

    def __init__(self) -> None:
        self._starts: list[int] = []
        self._lasts: list[int] = []
        self._distances: list[int] = []

    @property
    def last(self) -> int:
        """The highest number of the file that was noted; 0 before the first."""
        return self._lasts[-1] if self._lasts else 0

    def note(self, number: int, seq: int) -> None:
        """An event of the file has this number here. Numbers come in rising order."""
        if self._lasts and number == self.last + 1 and self._distances[-1] == seq - number:
            self._lasts[-1] = number
            return
        self._starts.append(number)
        self._lasts.append(number)
        self._distances.append(seq - number)

    def seq_of(self, number: int) -> int | None:
        """The number here of an event of the file; None where it was not taken in."""
        at = bisect_right(self._starts, number) - 1
        if at < 0 or number > self._lasts[at]:
            return None
        return number + self._distances[at]
