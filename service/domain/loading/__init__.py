"""The software of one unit: what may be on its boards, and the loads that bring them together (Q12).

| module | what it answers |
| --- | --- |
| `ways` | in which ways the boards that carry software may stand, as far as a plan depends on it |
| `courses` | for boards that needs join, what is to be done in each case |
| `planning` | the answer for the whole unit |
"""
