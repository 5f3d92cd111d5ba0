"""A client that falls silent in the middle of a request does not keep a thread for ever.

The server's threads wait for the rest of a request without end, and a client whose network broke never
says goodbye: as many of them as there are threads, and nobody else is answered.
"""

from __future__ import annotations

import logging
import socket
import struct
from typing import Any

SILENCE_SECONDS = 10
"""So long a client may take for the next bytes of its request, or to take those of its answer."""


def give_up_the_silent(server: Any) -> None:
    """To be called when the server listens and has not taken a connection yet."""
    for listener in server.LISTENERS:
        limit(listener.sock)
    logging.getLogger("gunicorn.error").addFilter(is_worth_telling)


def is_worth_telling(record: logging.LogRecord) -> bool:
    """Whether a record is more than the trace of a client given up: anybody could fill the log with those."""
    return not (record.exc_info and isinstance(record.exc_info[1], BlockingIOError))


def limit(listener: socket.socket) -> None:
    """Limit the silence of every connection that is taken from now on: it has the listener's options."""
    seconds = struct.pack("ll", SILENCE_SECONDS, 0)
    for option in (socket.SO_RCVTIMEO, socket.SO_SNDTIMEO):
        listener.setsockopt(socket.SOL_SOCKET, option, seconds)
