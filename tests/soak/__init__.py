"""A shop's whole traffic at once, for as long as one likes, and what is measured beside it.

`python -m tests.soak` runs it against real server processes; `python -m tests.soak.saturation` finds out how
much they carry and how long answers take at half of that. The plain suite runs each for a few seconds.
"""
