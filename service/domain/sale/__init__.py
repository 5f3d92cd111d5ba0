"""May we sell this board to this customer, and what do we have to say and charge with it.

`check` is the way in and holds the order of the decisions; `refusing`, `asking` and `conditions` are the
tables of what is looked at. No decision rests on a claim or an assumption: the fit is worked out with and
without them, and where that makes a difference a question or a condition follows from it.
"""
