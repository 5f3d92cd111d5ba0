"""The ledger and the catalogue's revisions in a database: SQLite or PostgreSQL, the same tables."""
