"""What the terminal shows of an import: how far it has come, and each line that is refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import BinaryIO

from service.cli.progress import Progress
from service.files.lines import Lines
from service.files.rows import Flaw, Form
from service.files.writing import encoded
from service.usecases.importing.tally import Tally


class Watcher:
    """Shows how far it has come, and each line that is refused."""

    def __init__(
        self,
        name: str,
        lines: Lines,
        progress: Progress,
        report: BinaryIO | None,
        stopped: Callable[[], bool],
    ) -> None:
        self._name = name
        self._lines = lines
        self._progress = progress
        self._report = report
        self.stop = stopped
        self.tally = Tally()

    def refused(self, flaws: Sequence[Flaw]) -> None:
        for flaw in flaws:
            place = f"{self._name}:{flaw.line}"
            self._progress.say(": ".join(filter(None, (place, flaw.column, flaw.reason))))
        if self._report is not None:
            told = [flaw._asdict() for flaw in flaws]
            self._report.writelines(encoded(told, Flaw._fields, Form.NDJSON))

    def moved(self, tally: Tally) -> None:
        self.tally = tally
        self._progress.at(self._lines.consumed, counted(tally))


def counted(tally: Tally) -> str:
    """What became of the lines, in words."""
    return (
        f"{tally.read:,} lines read, {tally.taken:,} taken in, "
        f"{tally.there:,} there already, {tally.refused:,} refused"
    )
