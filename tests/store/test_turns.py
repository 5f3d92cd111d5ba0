"""Turns are given in the order in which they were asked for, and one that did not come is given to nobody."""

from __future__ import annotations

from threading import Thread

from service.store.turns import Turns

LONG = 30.0


def test_who_waits_longest_goes_first() -> None:
    turns = Turns()
    assert turns.acquire(LONG)
    order: list[int] = []

    def wait(which: int) -> None:
        assert turns.acquire(LONG)
        order.append(which)
        turns.release()

    waiting = [Thread(target=wait, args=(which,)) for which in range(6)]
    for which, thread in enumerate(waiting):
        thread.start()
        while len(turns._waiting) <= which:  # noqa: SLF001 - whether a thread waits cannot be seen otherwise
            thread.join(0.001)
    turns.release()
    for thread in waiting:
        thread.join(LONG)
    assert order == list(range(6))


def test_a_turn_that_did_not_come_is_left_to_the_others() -> None:
    turns = Turns()
    assert turns.acquire(LONG)
    assert not turns.acquire(0.01)
    turns.release()
    assert turns.acquire(0.01), "nobody waits any more, so it is free"
