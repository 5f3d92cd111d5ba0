"""The database, on SQLite and on PostgreSQL."""
