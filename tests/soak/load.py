"""Requests in quick succession from one thread: measuring takes little of the machine that is measured."""

from __future__ import annotations

import asyncio
import time
from asyncio import StreamReader, StreamWriter
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from random import Random

from tests.soak.asks import Ask
from tests.support.keys import bearer

END = b"\r\n\r\n"
LAST_CHUNK = b"0\r\n\r\n"
"""What ends an answer whose length is not told (other servers than ours send such)."""


@dataclass(slots=True)
class Measured:
    """What came of a load."""

    seconds: float = 0.0
    times: list[float] = field(default_factory=list)
    """Seconds that each answer took, from the moment when its question was due."""
    unexpected: int = 0

    @property
    def rate(self) -> float:
        return len(self.times) / self.seconds


def written(ask: Ask, key: str) -> bytes:
    """A request as it goes over the line."""
    body = ask.body or b""
    fields = {"Host": "shop", **bearer(key), **ask.headers, "Content-Length": str(len(body))}
    head = "".join(f"{name}: {value}\r\n" for name, value in fields.items())
    return f"{ask.method} {ask.target} HTTP/1.1\r\n{head}\r\n".encode() + body


class Line:
    """A connection that is kept; one that the server ended is made anew."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._open: tuple[StreamReader, StreamWriter] | None = None

    async def ask(self, request: bytes) -> int:
        """The status that it is answered with; 0 where it was not."""
        for _ in range(2):
            try:
                return await self._asked(request)
            except (OSError, asyncio.IncompleteReadError):
                await self.close()
        return 0

    async def _asked(self, request: bytes) -> int:
        if self._open is None:
            self._open = await asyncio.open_connection("127.0.0.1", self._port)
        reader, writer = self._open
        writer.write(request)
        head = (await reader.readuntil(END)).lower()
        length = head.partition(b"content-length:")[2].partition(b"\r\n")[0]
        if length:
            await reader.readexactly(int(length))
        else:
            await reader.readuntil(LAST_CHUNK)
        return int(head[9:12])

    async def close(self) -> None:
        if self._open is not None:
            self._open[1].close()
            with suppress(OSError):
                await self._open[1].wait_closed()
        self._open = None


async def _close(lines: Sequence[Line]) -> None:
    for line in lines:
        await line.close()


def as_fast_as_it_goes(port: int, requests: Iterator[bytes], clients: int, seconds: float) -> Measured:
    """Each client asks again as soon as it is answered."""

    async def load() -> Measured:
        found, lines = Measured(), [Line(port) for _ in range(clients)]
        began = time.perf_counter()

        async def one(line: Line) -> None:
            while (due := time.perf_counter()) < began + seconds:
                status = await line.ask(next(requests))
                found.times.append(time.perf_counter() - due)
                found.unexpected += status not in (200, 201)

        await asyncio.gather(*map(one, lines))
        found.seconds = time.perf_counter() - began
        await _close(lines)
        return found

    return asyncio.run(load())


def at_a_rate(port: int, requests: Iterator[bytes], rate: float, seconds: float, seed: int = 1) -> Measured:
    """Questions come by chance, so many a second on average, whether or not those before are answered."""

    async def load() -> Measured:
        found, random = Measured(), Random(seed)
        idle: list[Line] = []
        running: set[asyncio.Task[None]] = set()

        async def one(request: bytes, due: float) -> None:
            line = idle.pop() if idle else Line(port)
            status = await line.ask(request)
            found.times.append(time.perf_counter() - due)
            found.unexpected += status not in (200, 201)
            idle.append(line)

        due = began = time.perf_counter()
        while (due := due + random.expovariate(rate)) < began + seconds:
            await asyncio.sleep(max(0.0, due - time.perf_counter()))
            task = asyncio.create_task(one(next(requests), due))
            running.add(task)
            task.add_done_callback(running.discard)
        await asyncio.gather(*running)
        found.seconds = time.perf_counter() - began
        await _close(idle)
        return found

    return asyncio.run(load())
