"""`migrate`: the tables of this version, and what the service's role may do with them."""

from __future__ import annotations

import argparse

from service.cli.databases import opened
from service.cli.errors import UsageError
from service.settings import Settings
from service.store import migrate
from service.store.engine import writing
from service.store.grants import NoSuchRole, TooMuch, grant


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = (
        "Bring the tables of the settings' database to this version, once, however many start "
        "at the same time; where there is nothing to do, nothing is done. 'serve' does so by itself, unless "
        "its role may not: on PostgreSQL let one role own the tables and run this, and another one serve."
    )
    parser.add_argument(
        "--grant-to",
        metavar="ROLE",
        help="on PostgreSQL, let this role have what 'serve' needs and nothing else: it can read, add to the "
        "ledger and change what is cached; it cannot change or delete what was recorded, enter keys, publish "
        "catalogues, or alter a table or trigger",
    )
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Migrate, and grant where asked."""
    with opened(settings, must_exist=False) as engine:
        print(f"the tables are those of this version ({migrate.NEWEST})")
        if given.grant_to is not None:
            try:
                with writing(engine) as connection:
                    grant(connection, given.grant_to)
            except (NoSuchRole, TooMuch) as refusal:
                raise UsageError(str(refusal)) from None
            print(f"{given.grant_to} may serve them: it can add to the ledger, and never change it")
    return 0
