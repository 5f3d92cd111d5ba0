"""What it takes until a unit can do more: the cheapest true way, or the proof that there is none."""
