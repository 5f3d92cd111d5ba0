"""A shop's whole traffic at once, for as long as one likes, and what is measured beside it.

`python -m tests.soak` runs it against real server processes; `python -m tests.soak.saturation` finds out how
much they carry and how long answers take at half of that, and `python -m tests.soak.variety` what a worker
holds that is hardly ever asked the same. The plain suite runs the first for a few seconds.
"""
