"""Whatever was told before, legal or not, an event is judged, and what is proposed instead can be told."""

from __future__ import annotations

from collections import Counter

from hypothesis import given, settings

from service.domain.ledger.event import Draft
from service.domain.ledger.fold import States, step, withdrawn
from service.domain.recording.legality import CODES
from tests.ledger.histories import histories
from tests.ledger.telling import numbered
from tests.recording.shop import completed, law


def judged(history: list[Draft]) -> Counter[str]:
    """What is held against the events of a history, each after those before it."""
    states, found = States(), Counter[str]()
    events = numbered(history)
    void = withdrawn(events)
    for event in events:
        refusals = law()(states, event)
        found.update(refusal.code for refusal in refusals)
        for refusal in refusals:
            for instead in refusal.instead:
                completed(instead)
        step(states, event, withdrawn=event.seq in void)
    return found


@given(histories())
def test_every_event_is_judged(history: list[Draft]) -> None:
    assert judged(history).keys() <= set(CODES)


def test_random_histories_meet_most_laws() -> None:
    seen: Counter[str] = Counter()

    @settings(max_examples=300)
    @given(histories())
    def count(history: list[Draft]) -> None:
        seen.update(judged(history))

    count()
    assert len(seen) >= 12, seen
