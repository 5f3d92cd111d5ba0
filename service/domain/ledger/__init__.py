"""What happened to boards and units: event kinds, their meaning, and the pure fold to what is known.

`kinds` holds the one registry; a new kind is one more row there. `fold` turns events, in order of
sequence, into the records that a question gathers.
"""
