"""What a unit can do for its owner, now and with other boards, and what stands in the way of the rest.

| module | what it answers |
| --- | --- |
| `ability` | one capability, in one world and over all of them |
| `comparing` | all of them, before and after |
| `idle` | what a board could do and will not, for it is not allowed for the model |
"""
