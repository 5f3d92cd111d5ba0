"""May an event be recorded? What the ledger knows, and the laws of the work, against what is told.

An event is refused only where every way in which the unknown facts may be refuses it; each refusal
names the event that would be right instead. Nothing here looks anything up.
"""
