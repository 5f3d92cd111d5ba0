"""Memory that the threads of a worker free is used again by all of them, or given back."""

from __future__ import annotations

import ctypes
import subprocess
import sys

import pytest

from tests.house.tree import ROOT

glibc = pytest.mark.skipif(
    not hasattr(ctypes.CDLL(None), "malloc_info"), reason="another allocator than glibc's has other ways"
)

POOLS = """
import ctypes, sys, threading
if sys.argv[1] == "as served":
    from service.server import together as counting
    from service.server.options import options
    from service.settings import Settings
    options(Settings())["on_starting"](None)
    counting.tidy(None)
together = threading.Barrier(4)
def take():
    taken = bytearray(5_000)
    together.wait()
threads = [threading.Thread(target=take) for _ in range(4)]
for each in threads: each.start()
for each in threads: each.join()
libc = ctypes.CDLL(None)
libc.malloc_info(0, ctypes.c_void_p.in_dll(libc, "stdout"))
libc.fflush(None)
"""

HOLES = """
import sys
from pathlib import Path
from service.server.memory import keep_together
if sys.argv[1] == "together":
    keep_together()
def own():
    return int(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("RssAnon")))
bytes(20_000_000)
before = own()
large = [bytearray(b"x" * 1_000_000) for _ in range(20)]
kept = []
while large:
    kept.append(bytearray(b"y" * 2_000))
    large.pop(0)
print(own() - before)
"""
"""A large answer raises the size that is taken by itself; then what is freed before what stays is kept."""


def told_by(program: str, how: str) -> str:
    command = [sys.executable, "-c", program, how]
    ended = subprocess.run(command, cwd=ROOT, env={}, capture_output=True, text=True, check=True, timeout=60)
    return ended.stdout


@glibc
def test_all_threads_take_from_one_pool() -> None:
    assert told_by(POOLS, "as served").count("<heap nr=") == 1
    assert told_by(POOLS, "left alone").count("<heap nr=") > 1


@glibc
def test_what_large_answers_took_is_given_back() -> None:
    """KiB that stay of 20,000."""
    assert int(told_by(HOLES, "together")) < 2_000
    assert int(told_by(HOLES, "left alone")) > 5_000
