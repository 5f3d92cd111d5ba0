"""What the commands about keys are told, and how it is read."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable

from service.api.document.security import SCOPES
from service.usecases.caller import Scope
from service.usecases.keys import USUAL_RATE
from service.usecases.mending import hint

OWNER = re.compile(r"[a-z0-9]+(?:[._-][a-z0-9]+)*\Z")
LONGEST_OWNER = 64
MOST_REQUESTS = 1_000_000
MOST_DAYS = 3_650


def add_make(parser: argparse.ArgumentParser) -> None:
    """The options of `keys make`."""
    parser.add_argument(
        "owner",
        type=_owner,
        metavar="OWNER",
        help="what the key is for (till, chat, bench); what one owner stores is hidden from the others, "
        "and no person's name belongs here",
    )
    scopes = "; ".join(f"{scope}: {told}" for scope, told in SCOPES.items())
    parser.add_argument(
        "--scope",
        dest="scopes",
        type=_scope,
        action="append",
        required=True,
        metavar="SCOPE",
        help=f"what it is good for, once for each ({scopes})",
    )
    parser.add_argument(
        "--public",
        action="store_true",
        help="for what everybody can reach, such as a chat: it may ask only, and never reads the ledger",
    )
    parser.add_argument(
        "--rate",
        type=number(1, MOST_REQUESTS),
        default=USUAL_RATE,
        metavar="N",
        help=f"requests a minute ({USUAL_RATE})",
    )
    parser.add_argument(
        "--days", type=number(1, MOST_DAYS), metavar="N", help="days after which it ends (never, by itself)"
    )


def _scope(text: str) -> Scope:
    try:
        return Scope(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"{text!r} is no scope: {hint(text, Scope, found_at='keys make --help')}"
        ) from None


def _owner(text: str) -> str:
    if len(text) > LONGEST_OWNER or not OWNER.match(text):
        raise argparse.ArgumentTypeError(
            f"{text!r} is no owner: give small letters and digits, up to {LONGEST_OWNER}, as in till-2"
        )
    return text


def number(least: int, most: int) -> Callable[[str], int]:
    """Reads a whole number within bounds."""

    def read(text: str) -> int:
        if not (text.isascii() and text.isdigit() and least <= int(text) <= most):
            raise argparse.ArgumentTypeError(f"{text!r} is no whole number from {least} to {most}")
        return int(text)

    return read
