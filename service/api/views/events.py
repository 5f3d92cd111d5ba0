"""What was done (Q11), and what happened (Q10): the ledger as others write and follow it."""

from __future__ import annotations

from typing import Any

from service.api.blueprint import Routes
from service.api.edge.reply import Reply
from service.api.present import events as present
from service.api.present.wording import wording
from service.api.problems.conflicts import CODES, told_as_conflicts
from service.api.schemas.events import EventPage, FeedQuery, NewEvents, RecordedEvents
from service.api.telling import job
from service.api.text import events as text
from service.usecases import history, recording
from service.usecases.caller import Caller, Scope
from service.usecases.repeats import Repeat
from service.usecases.shop import Shop

blp = Routes("events", __name__, description="What happened to boards and machines, in order.")


@blp.operation(
    "/v1/events",
    name="record_events",
    answer=RecordedEvents,
    body=NewEvents,
    problems=CODES,
    scope=Scope.RECORD,
    stores=True,
)
def record_events(
    shop: Shop, caller: Caller, query: dict[str, Any], body: dict[str, Any], repeat: Repeat
) -> Reply:
    """Write down what was done: the events of one job, all or none.

    Serials are written as they are read; what the label, the ledger or the catalogue says is filled in.
    An event that cannot have happened, as the ledger stands, is refused with what is true now and with
    what to record instead. `corrected` needs a key for administering.
    """
    words = wording(shop.catalogue().catalogue, caller.language)
    with told_as_conflicts(words):
        stored = recording.record(shop, caller, repeat, job(body), lambda done: present.recorded(done, words))
    return Reply.of_stored(
        stored, lambda: text.recorded(stored.data, words.names.language), present.page_of(stored.data)
    )


@blp.operation("/v1/events", name="list_events", answer=EventPage, query=FeedQuery, scope=Scope.STOCK)
def list_events(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """Follow the ledger: every event in the order in which it was recorded.

    Ask again with `next_after` as `after`, at once or later: no event is missed, and none comes twice.
    An event never changes; one that was withdrawn is followed by its `corrected`.
    """
    words = wording(shop.catalogue().catalogue, caller.language)
    after, size = query["after"], query["page_size"]
    data = present.feed(history.events_after(shop, caller, after, size), after, words)
    full = len(data["items"]) == size
    link = f'</v1/events?after={data["next_after"]}&page_size={size}>; rel="next"' if full else None
    return Reply.of_content(data, lambda: text.feed(data, words.names.language), link)
