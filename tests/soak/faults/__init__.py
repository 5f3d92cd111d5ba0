"""What goes wrong around a service, under load: it says so, comes back by itself, and the ledger is whole.

`python -m tests.soak.faults [NAME ...]` tries them in full, `-m deep` does the same as tests. Kills and full
disks are in `tests/endurance`.
"""
