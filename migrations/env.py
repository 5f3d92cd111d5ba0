"""What alembic runs: with the connection it is given, or with the database of the settings."""

from __future__ import annotations

import os

from alembic import context
from sqlalchemy import Connection

from service.settings import from_environment
from service.store.engine import open_engine, writing
from service.store.tables import METADATA


def run(connection: Connection) -> None:
    context.configure(connection=connection, target_metadata=METADATA, transactional_ddl=True)
    with context.begin_transaction():
        context.run_migrations()


given = context.config.attributes.get("connection")
if given is not None:
    run(given)
else:
    with writing(open_engine(from_environment(os.environ).database_url)) as own:
        run(own)
