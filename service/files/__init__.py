"""Tables as files: CSV and NDJSON, read and written row by row.

Only their form is known here: lines, characters, cells. What a column means is told by who reads.
"""
