"""Can these boards go into that unit? Every way in which the unknown may be, and what holds in all of them.

| module | what it answers |
| --- | --- |
| `domains`, `worlds` | what each place may hold, and what the rules say of it, hub by hub |
| `joint`, `joined` | boards whose software has to go together (rule 10), as one block |
| `ranks` | sets of what may come of it, as bit masks |
| `decision`, by `cause` | both axes, the outcome, every reason; why it is not known |
| `table`, `relevance`, `effort`, `asking` | which unknown facts matter, and which one to find out first |
| `conclusion` | all that follows from the facts, whichever boards they are of |
| `assumed`, `grounds`, `own_boards`, `clearance` | what the answer rests on, and what is told beside it |
| `answer` | the whole answer |
| `remedies` | what else would have to change for a fit |
| `refusing`, `mending` | why a machine may refuse to run, and what puts it right (Q9) |

No rule stands here: they are in `domain.rules`.
"""
