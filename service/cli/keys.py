"""`keys make`, `keys list`, `keys rotate` and `keys revoke`: who may ask the service, and for what."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from service.cli.databases import opened
from service.cli.errors import UsageError
from service.cli.key_options import MOST_DAYS, add_make, number
from service.settings import Settings
from service.store.keys import Key
from service.usecases.caller import Scope
from service.usecases.key_text import KeyText
from service.usecases.keys import KeyEnded, NoSuchKey, listed_keys, make_key, revoke_key, rotate_key
from service.usecases.mending import hint

USUAL_OVERLAP = 7
"""Days."""


def add(parser: argparse.ArgumentParser) -> None:
    """The four commands."""
    actions = parser.add_subparsers(title="actions", metavar="ACTION", required=True)
    add_make(_action(actions, "make", run_make, "make a key and show it, this once"))
    _action(actions, "list", run_list, "list all keys, those that ended too")
    rotate = _action(actions, "rotate", run_rotate, "make a key in another's place, which ends after a while")
    rotate.add_argument("id", metavar="ID", help="the id of the key, as 'keys list' shows it")
    rotate.add_argument(
        "--overlap-days",
        type=number(0, MOST_DAYS),
        default=USUAL_OVERLAP,
        metavar="N",
        help=f"days for which the old key goes on being good ({USUAL_OVERLAP})",
    )
    revoke = _action(actions, "revoke", run_revoke, "let a key end now")
    revoke.add_argument("id", metavar="ID", help="the id of the key, as 'keys list' shows it")


def _action(actions: Any, name: str, run: Callable[..., int], told: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = actions.add_parser(
        name, help=told, description=told[0].upper() + told[1:] + "."
    )
    parser.set_defaults(run=run)
    return parser


def run_make(given: argparse.Namespace, settings: Settings) -> int:
    """Show the new key."""
    if given.public and set(given.scopes) != {Scope.ASK}:
        raise UsageError("a public key may ask and nothing else: give it --scope ask alone, or no --public")
    with opened(settings, must_exist=False) as engine:
        text, key = make_key(
            engine,
            owner=given.owner,
            scopes=given.scopes,
            public=given.public,
            rate=given.rate,
            lasts=timedelta(days=given.days) if given.days else None,
        )
    _show_once(text, key)
    return 0


def run_list(given: argparse.Namespace, settings: Settings) -> int:  # noqa: ARG001 - every command's signature
    """A line for each key."""
    with opened(settings, must_exist=True) as engine:
        keys = listed_keys(engine)
    if not keys:
        print("there are no keys: make one with 'keys make OWNER --scope ask'")
        return 0
    rows = [("ID", "OWNER", "SCOPES", "A MINUTE", "MADE", "STATE"), *map(_row, keys)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
    return 0


def run_rotate(given: argparse.Namespace, settings: Settings) -> int:
    """Show the key that takes the old one's place."""
    with opened(settings, must_exist=True) as engine:
        try:
            text, new, old = rotate_key(engine, given.id, timedelta(days=given.overlap_days))
        except NoSuchKey:
            raise _no_such_key(given.id, listed_keys(engine)) from None
        except KeyEnded:
            mend = "make a new one with 'keys make'"
            raise UsageError(f"the key {given.id} has ended already: {mend}") from None
    _show_once(text, new)
    print(f"the key {old.id} is good until {_moment(old.ended_at())}: put the new one in its place before")
    return 0


def run_revoke(given: argparse.Namespace, settings: Settings) -> int:
    """End a key."""
    with opened(settings, must_exist=True) as engine:
        try:
            key = revoke_key(engine, given.id)
        except NoSuchKey:
            raise _no_such_key(given.id, listed_keys(engine)) from None
    seconds = settings.key_check_seconds
    print(f"the key {key.id} of {key.owner}: {_state(key)}; servers notice within {seconds} seconds")
    return 0


def _show_once(text: KeyText, key: Key) -> None:
    print(text.written())
    kind = "a public key" if key.public else "a key"
    print(
        f"{kind} of {key.owner} for {', '.join(key.scopes)}, {key.rate} requests a minute, {_state(key)}; "
        "it is not shown again"
    )


def _row(key: Key) -> Sequence[str]:
    scopes = ",".join(key.scopes) + (" (public)" if key.public else "")
    return key.id, key.owner, scopes, str(key.rate), _moment(key.made_at), _state(key)


def _state(key: Key) -> str:
    ended = key.ended_at()
    if ended is None:
        return "good until revoked"
    if ended > datetime.now(UTC):
        return f"good until {_moment(ended)}"
    return f"{'revoked' if ended == key.revoked_at else 'expired'} {_moment(ended)}"


def _moment(moment: datetime | None) -> str:
    return "" if moment is None else f"{moment:%Y-%m-%d %H:%M} UTC"


def _no_such_key(key_id: str, keys: Sequence[Key]) -> UsageError:
    mend = hint(key_id, (key.id for key in keys), found_at="'keys list'")
    return UsageError(f"no key has the id {key_id!r}: {mend}")
