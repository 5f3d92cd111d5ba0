"""One fault under load: what is seen before it, while it lasts, and after it."""

from __future__ import annotations

import time
from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from statistics import quantiles
from threading import Event

from tests.endurance import books
from tests.soak import asks, ledger
from tests.soak.clients import Client
from tests.soak.faults.scenes import SLACK, Fault, Scene
from tests.soak.seen import AWAY, Entry, Seen

CLIENTS = 12
RATE = 4.0
"""Requests a second of each."""
CALM = 3.0
"""Seconds of load before and after."""
PULSE = "alive"
WRITES = ("record events", "sale check", "sale completion", "impossible event")


@dataclass(slots=True)
class Tried:
    """What came of it."""

    fault: str
    by: str
    begins: float = 0.0
    ends: float = 0.0
    """When the trouble began and was over, in seconds since the load began."""
    seen: Seen = field(default_factory=Seen)
    faults: list[str] = field(default_factory=list)
    events: int = 0

    def during(self) -> list[Entry]:
        """The requests that ended while it lasted, or that began then."""
        return [
            one for one in self.seen.entries if one.at >= self.begins and one.at - one.seconds <= self.ends
        ]

    def away(self) -> list[Entry]:
        return [entry for entry in self.seen.entries if entry.status == AWAY]

    def recovered(self) -> float:
        """Seconds from its end to the last time that somebody was told the store is away."""
        return max([0.0, *(entry.at - self.ends for entry in self.away())])

    def longest(self) -> float:
        return max((entry.seconds for entry in self.during()), default=0.0)

    def told(self) -> str:
        """The figures, in a line."""
        away, alive = self.away(), [one.seconds for one in self.during() if one.kind == PULSE]
        answered = [one for one in self.during() if one.kind != PULSE]
        return (
            f"{self.ends - self.begins:.1f} s of it, {len(answered):,} requests meanwhile, "
            f"{len(away):,} of 503 (median {_middle([one.seconds for one in away]):.2f} s), "
            f"longest answer {self.longest():.1f} s, longest sign of life {max(alive, default=0.0):.1f} s, "
            f"well {self.recovered():.1f} s after it; "
            f"{self.events:,} events"
        )


def tried(fault: Fault, folder: Path, seconds: float | None = None) -> Tried:
    """Try it. Raises CannotHappen where this machine does not let us."""
    with fault.scene(folder) as scene:
        found = Tried(fault.name, scene.by)
        start = books.last(scene.shop.engine)
        scene.shop.engine.dispose()
        workers = scene.shop.server.workers()
        clients = under_load(scene, found, fault.lasts if seconds is None else seconds)
        if scene.shop.server.workers() != workers:
            found.faults.append("the server was started anew")
        found.faults += judged(scene, found)
        ledger.repeat_some(clients)
        for client in clients:
            client.close()
        found.faults += [*found.seen.told_wrong(), *ledger.faults(scene.shop.engine, start, clients, None)]
        found.events = books.last(scene.shop.engine) - start
        if "Traceback" in scene.shop.server.said():
            found.faults.append(scene.shop.server.said())
    return found


def under_load(scene: Scene, found: Tried, seconds: float) -> list[Client]:
    """Calm, the trouble for so many seconds, the time to recover, and calm."""
    stop, seen = Event(), found.seen

    def client(number: int) -> Client:
        port, keys = scene.shop.server.port, scene.shop.keys
        return Client(port, number, seen, stop, keys, rate=RATE, lenient=True)

    clients, pulse = [client(number) for number in range(CLIENTS)], client(CLIENTS)
    with ThreadPoolExecutor(CLIENTS + 1) as pool:
        running: list[Future[object]] = [pool.submit(one.run) for one in clients]
        running.append(pool.submit(beat, pulse, stop))
        try:
            time.sleep(CALM)
            found.begins = seen.since()
            scene.trouble.begin()
            try:
                time.sleep(seconds / 2)
                found.faults += scene.meanwhile()
                time.sleep(seconds / 2)
            finally:
                scene.trouble.end()
                found.ends = seen.since()
            time.sleep(scene.recovery + SLACK + CALM)
            found.faults += scene.afterwards()
        finally:
            stop.set()
        for each in running:
            each.result()
    for one in clients:
        one.settle()
    return clients


def beat(client: Client, stop: Event) -> None:
    """Ask whether the service is alive, again and again."""
    ask = asks.get(PULSE, "/healthz")
    while not stop.wait(0.2):
        client.ask(ask, paced=False)
    client.close()


def judged(scene: Scene, found: Tried) -> Sequence[str]:
    """What is not as the scene allows."""
    wrong = []
    if found.longest() > scene.longest + SLACK:
        wrong.append(f"an answer took {found.longest():.1f} s, {scene.longest:.1f} are allowed")
    if found.recovered() > scene.recovery + SLACK:
        wrong.append(f"not well {found.recovered():.1f} s after it, {scene.recovery:.1f} are allowed")
    early = sum(entry.at < found.begins for entry in found.away())
    if early:
        wrong.append(f"{early} were told that the store is away before the trouble began")
    if scene.felt and not found.away():
        wrong.append("nobody noticed anything: nothing was tried")
    last = [entry for entry in found.seen.entries if entry.at > found.ends + scene.recovery + SLACK]
    # Whoever is not answered any more at all asks nothing then, which is no less wrong.
    if not {"record events", "fit by serial"} <= {entry.kind for entry in last if 0 < entry.status < 300}:
        wrong.append("at the end not all was answered again")
    reads = [one.seconds for one in found.during() if one.kind not in (*WRITES, PULSE)]
    if scene.reads is not None and quantiles(reads, n=4)[2] > scene.reads:
        wrong.append(f"of those who only ask one in four waited {quantiles(reads, n=4)[2]:.1f} s and longer")
    return wrong


def _middle(values: Sequence[float]) -> float:
    return sorted(values)[len(values) // 2] if values else 0.0
