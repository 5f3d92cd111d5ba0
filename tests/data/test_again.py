"""A file counts once, however often it is imported, by however many, and whatever stops it."""

from __future__ import annotations

import random
import signal
import subprocess
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

import pytest

from service.demo import serials as s
from service.store.engine import writing
from service.store.rebuild import rebuild
from service.usecases.importing.chunks import CHUNK
from tests.data.commands import csv_file, events_of, opened, publish
from tests.data.conftest import Command
from tests.data.running import (
    HEADER,
    PATIENCE,
    boards_file,
    counted,
    each_once,
    ended,
    fed,
    lines_of,
    started,
    told_of,
)
from tests.store.ledgers import state_tables

LINES = 2_500
"""Three chunks."""
OTHER_CATALOGUE = Path(__file__).parents[1] / "catalogues" / "second_maker.yaml"


@pytest.fixture
def both_urls(database_url: str) -> str:
    """A shop on each of both databases."""
    publish(database_url)
    return database_url


def test_a_second_time_every_line_is_there_already(command: Command, shop_url: str, tmp_path: Path) -> None:
    file = boards_file(tmp_path / "b.csv", 10)
    assert command("import", "boards", file).out.endswith("10 taken in, 0 there already, 0 refused\n")
    again = command("import", "boards", file)
    assert (again.status, again.err) == (0, "")
    assert again.out.endswith("10 lines read, 0 taken in, 10 there already, 0 refused\n")
    assert counted(shop_url) == each_once(10)


def test_equal_lines_of_a_file_count_once_however_they_are_written(
    command: Command, shop_url: str, tmp_path: Path
) -> None:
    lines = (
        f"{s.USED_MAIN_60},MN-4100,bound,plover-60,,yes",
        "tb-m41 2208 0117 x,MN-4100,,PLOVER-60,usable,y",
        f"{s.USED_MAIN_60},MN-4100,bound,plover-60,,no",
    )
    header = "serial,part,binding,bound_model,condition,in_custody"
    done = command("import", "boards", csv_file(tmp_path / "b.csv", header, *lines))
    assert done.out.endswith("3 lines read, 2 taken in, 1 there already, 0 refused\n")
    assert [event.kind for event in events_of(shop_url)] == ["received", "registered"]


def test_a_mended_file_takes_in_what_was_refused(command: Command, tmp_path: Path) -> None:
    good, bad, mended = (f"{s.BLANK_MAIN},", "TBM4122080117Y,", f"{s.USED_MAIN_60},")
    assert command("import", "boards", csv_file(tmp_path / "b.csv", "serial,part", good, bad)).status == 1
    done = command("import", "boards", csv_file(tmp_path / "b.csv", "serial,part", good, mended))
    assert done.out.endswith("2 lines read, 1 taken in, 1 there already, 0 refused\n")


def test_a_line_that_was_taken_in_is_there_whatever_the_catalogue_says_since(
    command: Command, tmp_path: Path
) -> None:
    file = csv_file(tmp_path / "b.csv", "serial,part", f"{s.FAILED_RADIO},RD-5100")
    assert command("import", "boards", file).status == 0
    assert command("catalogue", "publish", OTHER_CATALOGUE).status == 0
    done = command("import", "boards", file)
    assert (done.status, done.err) == (0, "")
    assert done.out.endswith("0 taken in, 1 there already, 0 refused\n")


def test_killed_at_any_moment_and_run_again_every_line_is_there_once(both_urls: str, tmp_path: Path) -> None:
    kill_and_go_on(both_urls, boards_file(tmp_path / "b.csv", LINES), LINES, (1.1,))


@pytest.mark.deep
def test_killed_very_often(both_urls: str, tmp_path: Path) -> None:
    """Twenty-five times on each database, all through a file of ten chunks."""
    chance, lines = random.Random(17), 10 * CHUNK
    moments = [chance.uniform(0.7, 3) for _ in range(25)]
    kill_and_go_on(both_urls, boards_file(tmp_path / "b.csv", lines), lines, moments)


def kill_and_go_on(url: str, file: Path, lines: int, moments: Iterable[float]) -> None:
    """Start the import again and again, kill it after so many seconds each time, and let it end at last."""
    for seconds in moments:
        _kill(url, str(file), seconds)
        found = counted(url)
        assert found == each_once(found["imported"])
    status, out = ended(started(url, str(file)))
    assert status == 0
    assert out.rstrip().endswith("0 refused")
    assert counted(url) == each_once(lines)
    with opened(url) as engine:
        stands = state_tables(engine)
        with writing(engine) as connection:
            rebuild(connection)
        assert state_tables(engine) == stands


def _kill(url: str, file: str, seconds: float) -> None:
    process = started(url, file)
    with suppress(subprocess.TimeoutExpired):
        process.communicate(timeout=seconds)
    process.kill()
    process.communicate()


def test_two_that_import_the_same_file_at_once_take_each_line_in_once(both_urls: str, tmp_path: Path) -> None:
    file = str(boards_file(tmp_path / "b.csv", LINES))
    both = [started(both_urls, file) for _ in range(2)]
    told = [ended(process) for process in both]
    assert [status for status, _ in told] == [0, 0]
    taken = [int(out.split(" lines read, ")[1].split(" taken in")[0].replace(",", "")) for _, out in told]
    assert sum(taken) == LINES
    assert counted(both_urls) == each_once(LINES)


STOPS = ("--all-or-nothing", "--quiet")


@pytest.mark.parametrize("manner", STOPS)
def test_ctrl_c_ends_after_the_lines_under_way_and_tells_what_stands(
    shop_url: str, tmp_path: Path, manner: str
) -> None:
    process = started(shop_url, "-", manner)
    # The first line is bad, and is told of when its chunk is done.
    fed(process, HEADER, "TBM4122080117Y,,,", *lines_of(CHUNK))
    assert told_of(process).startswith("standard input:2: serial: ")
    process.send_signal(signal.SIGINT)
    fed(process, *lines_of(2 * CHUNK)[CHUNK:])
    status, out = ended(process)
    assert status == 130
    if manner == "--quiet":
        taken = counted(shop_url)["imported"]
        # The bad line is one of its chunk's; what stands is whole chunks, with or without the next one.
        assert taken in {CHUNK - 1, 2 * CHUNK - 1}
        assert out.endswith(
            f"{taken:,} taken in, 0 there already, 1 refused; that stands, run it again to go on\n"
        )
        assert ended(started(shop_url, str(boards_file(tmp_path / "b.csv", 2 * CHUNK))))[0] == 0
        assert counted(shop_url) == each_once(2 * CHUNK)
    else:
        assert out.endswith("1 refused; nothing was written\n")
        assert counted(shop_url) == each_once(0)


def test_ctrl_c_twice_ends_at_once(shop_url: str) -> None:
    """While it waits for its input, which never comes."""
    with started(shop_url, "-") as process:
        fed(process, HEADER, "TBM4122080117Y,,,", *lines_of(CHUNK))
        told_of(process)
        # Signals that come too close upon each other are one to the process, so they are sent until it
        # ends; one that comes at its very end ends it itself.
        for _ in range(PATIENCE):
            process.send_signal(signal.SIGINT)
            with suppress(subprocess.TimeoutExpired):
                process.wait(timeout=1)
                break
        assert process.returncode in {130, -signal.SIGINT}
        assert process.stdout is not None
        assert process.stdout.read().endswith("1 refused; that stands, run it again to go on\n")
    assert counted(shop_url) == each_once(CHUNK - 1)
