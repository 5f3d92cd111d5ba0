"""Clients of a shop: each asks at a pace of its own, writes now and then, and keeps a book of its writes."""

from __future__ import annotations

import json
import time
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPException
from random import Random
from threading import Event
from typing import Any

from service.demo import serials as s
from tests.endurance.asking import AT, Answer
from tests.endurance.asking import event as told
from tests.soak import asks
from tests.soak.asks import Ask
from tests.soak.seen import AWAY, UNANSWERED, Seen
from tests.soak.varied import any_question
from tests.support.keys import bearer

IDLE = 1.0
"""Seconds after which a client does not trust its connection any more: the server ends it after two."""
PATIENCE = 60.0
FEED_PAGE = 100
BOARDS_EACH = 100_000
"""Serials that a client may use up."""
AGAIN = 0.25
"""How often a client whose write was not acknowledged sends that again instead of something new."""

Keys = Mapping[str, str]
"""By who sends it, a key as it is written."""


@dataclass(frozen=True, slots=True)
class Written:
    """A request that records something: `key` is its Idempotency-Key."""

    kind: str
    path: str
    key: str
    body: bytes

    def ask(self) -> Ask:
        headers = {**asks.JSON, "Idempotency-Key": self.key}
        return Ask(self.kind, "POST", self.path, self.body, headers, frozenset({201}))


@dataclass(slots=True)
class Book:
    """What a client knows of its writes."""

    acknowledged: list[tuple[Written, Answer]] = field(default_factory=list)
    open: deque[Written] = field(default_factory=deque)
    """Those that were not answered, or with 503."""
    repeated: int = 0


@dataclass(slots=True)
class Pace:
    """When the next request of a client is due: at random, so many a second on average."""

    rate: float
    random: Random
    due: float = field(default_factory=time.monotonic)
    behind: float = 0.0
    """The longest that a request was sent after its time."""

    def wait(self, stop: Event) -> None:
        """Wait for the next one's time; who is far behind begins anew, so that a trouble is no flood."""
        self.due += self.random.expovariate(self.rate)
        now = time.monotonic()
        self.behind = max(self.behind, now - self.due)
        if now - self.due > 1:
            self.due = now
        elif self.due > now:
            stop.wait(self.due - now)


class Client:
    """One client, to be run in a thread of its own."""

    def __init__(
        self,
        port: int,
        number: int,
        seen: Seen,
        stop: Event,
        keys: Keys,
        *,
        rate: float,
        lenient: bool = False,
    ) -> None:
        self._connection = HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        self._last = 0.0
        self._number = number
        self._seen = seen
        self._stop = stop
        self._keys = keys
        self._random = Random(number)
        self._pace = Pace(rate, Random(number + 1_000))
        self._boards = 0
        self._lenient = lenient
        self._read_to = 0
        self.book = Book()
        self.fed: list[int] = []

    @property
    def behind(self) -> float:
        """The longest that it sent a request after its time."""
        return self._pace.behind

    def run(self) -> Client:
        """Ask until it is over."""
        jobs, weights = zip(*JOBS, strict=True)
        try:
            while not self._stop.is_set():
                if self.book.open and self._random.random() < AGAIN:
                    self.write(self.book.open.popleft())
                else:
                    self._random.choices(jobs, weights)[0](self)
        finally:
            self._connection.close()
        return self

    def follow(self, after: int) -> Client:
        """Read the feed on and on until it is over; see `read_out`."""
        self._read_to = after
        try:
            while not self._stop.is_set():
                self._feed()
        finally:
            self._connection.close()
        return self

    def read_out(self) -> None:
        """Read the rest of the feed."""
        while self._feed():
            pass

    def settle(self) -> None:
        """Send what is open until it is answered. Raises AssertionError where that does not come about."""
        until = time.monotonic() + PATIENCE
        while self.book.open:
            assert time.monotonic() < until, f"{len(self.book.open)} writes are never answered"
            self.write(self.book.open.popleft(), paced=False)

    def close(self) -> None:
        self._connection.close()

    def ask(self, ask: Ask, *, paced: bool = True) -> Answer | None:
        """Send it in its time, and note what comes of it; None where nothing does."""
        if paced:
            self._pace.wait(self._stop)
        began = time.monotonic()
        answer = self._sent(ask)
        seconds = time.monotonic() - began
        status = UNANSWERED if answer is None else answer.status
        if not self._stop.is_set():
            self._seen.note(ask.kind, status, seconds)
        self._judge(ask, answer)
        return answer

    def _judge(self, ask: Ask, answer: Answer | None) -> None:
        status = UNANSWERED if answer is None else answer.status
        if answer is not None and status == AWAY and not answer.headers.get("Retry-After", "").isdigit():
            self._seen.blame(f"{ask.method} {ask.target}: 503 without Retry-After")
        if status in ask.expected:
            if ask.steady and answer is not None and status == 200:
                question = (ask.method, ask.target, ask.body, tuple(ask.headers.items()))
                self._seen.compare(question, answer)
        elif not (self._lenient and status == AWAY):
            body = b"" if answer is None else answer.body[:300]
            self._seen.blame(f"{ask.kind}: {ask.method} {ask.target}: {status or 'no answer'} {body!r}")

    def _sent(self, ask: Ask) -> Answer | None:
        headers = {**ask.headers, **(bearer(self._keys[ask.key]) if ask.key in self._keys else {})}
        if time.monotonic() - self._last > IDLE:
            self._connection.close()
        try:
            return self._sent_once(ask, headers)
        except ConnectionError:
            # The server had given up a connection that was idle, at the very moment: RFC 9112, 9.3.1, has a
            # client ask again on another one. Whatever writes here may be sent again, too.
            return self._again(ask, headers)
        except (OSError, HTTPException):
            self._connection.close()
            return None

    def _again(self, ask: Ask, headers: Mapping[str, str]) -> Answer | None:
        self._connection.close()
        try:
            return self._sent_once(ask, headers)
        except (OSError, HTTPException):
            self._connection.close()
            return None

    def _sent_once(self, ask: Ask, headers: Mapping[str, str]) -> Answer:
        self._connection.request(ask.method, ask.target, ask.body, dict(headers))
        response = self._connection.getresponse()
        answer = Answer(response.status, dict(response.headers), response.read())
        self._last = time.monotonic()
        return answer

    def write(self, written: Written, *, paced: bool = True) -> Answer | None:
        """Record something; what is not acknowledged stays open, to be sent again."""
        answer = self.ask(written.ask(), paced=paced)
        if answer is None or answer.status == AWAY:
            self.book.open.append(written)
            return None
        if answer.status == 201:
            self.book.acknowledged.append((written, answer))
            return answer
        return None

    def new_board(self) -> str:
        """The serial of a main board that nobody saw before."""
        batch, running = divmod(self._number * BOARDS_EACH + self._boards, 10_000)
        self._boards += 1
        year, week = divmod(batch, 52)
        return s.board_serial("M41", 2014 + year, week + 1, running)

    def record(self, *events: dict[str, Any]) -> Answer | None:
        body = json.dumps({"events": events}).encode()
        return self.write(Written("record events", "/v1/events", self._name(), body))

    def _name(self) -> str:
        self._boards += 1
        return f"soak-{self._number:03d}-{self._boards:08d}"

    def one_of(self, choice: tuple[Ask, ...]) -> None:
        self.ask(self._random.choice(choice))

    def another(self) -> None:
        """A question that was hardly ever asked before."""
        self.ask(any_question(self._random))

    def bench(self) -> None:
        """A new board comes in, and is worked on: one to three events, all or none."""
        board = self.new_board()
        received = told("received", board=board, part="MN-4100", binding="blank")
        tested = told("tested", board=board, passed=True)
        bound = told("step_finished", step="enter_serial", board=board, unit=f"U{board}", model="plover-40")
        answer = self.record(
            *self._random.choice([[received], [received, tested], [received, bound, tested]])
        )
        if answer is not None:
            self.ask(asks.get("fit of a new board", f"/v1/fit?board={board}&unit={s.CUSTOMER_PLOVER_40}"))

    def impossible(self) -> None:
        """An event that cannot have happened is refused."""
        data = {"board": s.PANEL_NOT_INTRODUCED, "unit": s.CUSTOMER_CURLEW_20}
        body = json.dumps({"events": [{"kind": "fitted", "occurred_at": AT, "data": data}]}).encode()
        headers = {**asks.JSON, "Idempotency-Key": self._name()}
        self.ask(Ask("impossible event", "POST", "/v1/events", body, headers, frozenset({409})))

    def till(self) -> None:
        """A board comes in and is sold."""
        board = self.new_board()
        if self.record(told("received", board=board, part="MN-4100", binding="blank")) is None:
            return
        question = {"board": {"serial": board}, "unit": {"serial": s.CUSTOMER_PLOVER_40}}
        body = json.dumps(question).encode()
        checked = self.write(Written("sale check", "/v1/sale-checks", self._name(), body))
        if checked is None:
            return
        check = checked.json()
        accepted = json.dumps({"accepted": [each["code"] for each in check["conditions"]]}).encode()
        path = f"/v1/sale-checks/{check['id']}"
        self.write(Written("sale completion", f"{path}/completion", self._name(), accepted))
        self.ask(asks.get("sale check again", path))

    def repeat(self) -> None:
        """The same write again is given the first answer."""
        if not self.book.acknowledged:
            return
        written, first = self._random.choice(self.book.acknowledged[-500:])
        again = self.ask(written.ask())
        if again is not None and again.status == 201:
            self.book.repeated += 1
            if not again.replayed or again.body != first.body:
                self._seen.blame(f"{written.key} is not answered as at first")

    def _feed(self) -> bool:
        """One page of the feed; whether there was anything new."""
        answer = self.ask(asks.get("feed", f"/v1/events?after={self._read_to}&page_size={FEED_PAGE}"))
        if answer is None or answer.status != 200:
            return False
        page = answer.json()
        self.fed += [event["seq"] for event in page["items"]]
        self._read_to = page["next_after"]
        return bool(page["items"])


def _choosing(choice: tuple[Ask, ...]) -> Callable[[Client], None]:
    return lambda client: client.one_of(choice)


JOBS: tuple[tuple[Callable[[Client], None], int], ...] = (
    (_choosing(asks.BY_SERIAL), 26),
    (_choosing(asks.AS_TEXT), 5),
    (_choosing(asks.BY_MODEL), 8),
    (_choosing(asks.PUBLIC), 5),
    (_choosing(asks.BATCHES), 1),
    (_choosing(asks.of_examples()), 35),
    (Client.another, 5),
    (_choosing(asks.MISTAKES), 4),
    (_choosing(asks.LIMITED), 1),
    (_choosing(asks.SEEING), 1),
    (Client.bench, 7),
    (Client.till, 3),
    (Client.repeat, 2),
    (Client.impossible, 1),
)
"""What a client does next, and how often of about a hundred times."""
