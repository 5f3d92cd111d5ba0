"""Starting a program that does not outlive the tests, even where they are killed."""

from __future__ import annotations

import os
import sys

LAUNCHER = """
import ctypes, os, signal, sys
parent, uid, gid = map(int, sys.argv[1:4])
if os.getuid() == 0:
    os.setgroups([])
    os.setgid(gid)
    os.setuid(uid)
# The kernel forgets this wish when the user changes, so it comes after.
if sys.platform == "linux":
    ctypes.CDLL(None).prctl(1, signal.SIGQUIT)
if os.getppid() != parent:
    sys.exit("the tests ended before the program began")
os.execv(sys.argv[4], sys.argv[4:])
"""


def dying_with_us(uid: int, gid: int) -> list[str]:
    """What to write before a program's full path. Root runs it as that user.

    The kernel takes the thread that starts it for its parent: it dies with that thread.
    """
    return [sys.executable, "-I", "-c", LAUNCHER, str(os.getpid()), str(uid), str(gid)]
