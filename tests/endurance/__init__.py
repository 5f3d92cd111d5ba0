"""The ledger's promises under rough treatment: races, kills, full disks, locks that are held too long.

`python -m pytest -m deep tests/endurance -s` runs the full counts and prints what was done; the plain suite
runs a part of each with a fixed seed. Everything is written in earnest here: SQLite on the disk under the
temporary folder, PostgreSQL with `fsync` on.
"""
