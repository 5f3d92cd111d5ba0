"""What a value of the document must look like: a small language of shapes, each of which reads one value.

Reading a value gives the value in its own type (a price as `Decimal`, a date as `date`), or `BAD` with a
fault in the report. Nothing is guessed: a number where a text belongs is a fault, as "1.10" and 1.1 differ.
"""
