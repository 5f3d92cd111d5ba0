"""Making the document takes its parts to pieces: two who ask at the same moment get the one that one made."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, BrokenBarrierError
from typing import Any

from flask import Flask

from service.api.views import document

ASKERS = 4
MOMENT = 0.3


class Described:
    """Makes a document slowly enough that everybody else would come in between."""

    def __init__(self) -> None:
        self.made = 0
        self._meet = Barrier(2, timeout=MOMENT)

    def document(self) -> dict[str, Any]:
        self.made += 1
        try:
            self._meet.wait()
        except BrokenBarrierError:
            return {"made": self.made}
        raise AssertionError("two make it at once")


def test_it_is_made_once_however_many_ask_at_first() -> None:
    described, app = Described(), Flask("document")
    app.register_blueprint(document.blueprint(described.document))

    def ask(_: int) -> bytes:
        return bytes(app.test_client().get("/openapi.yaml").data)

    with ThreadPoolExecutor(ASKERS) as pool:
        assert set(pool.map(ask, range(ASKERS))) == {b"made: 1\n"}
