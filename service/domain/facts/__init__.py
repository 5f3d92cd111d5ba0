"""What is known of boards and units, by whom and how well; and the question that is asked of it.

| module | what it answers |
| --- | --- |
| `question`, `records`, `sources` | what is stated, what the ledger knows, and both with the catalogue |
| `known` | one fact: its values, its basis, what spoke against it |
| `identity` | rule 1: which unit it is |
| `report` | what the unit's main board reports, a word about both |
| `placing` | into which place a board goes |
| `binding`, `holder` | how what is known of a binding, and of the serial that is held, combines |
| `pairing` | whether a board and the one that names are introduced to each other |
| `board_case` | all of it for one board |
| `host` | all of it for the unit, before anything is proposed |
| `gathering` | all of it for the question: the case |
| `case` | what a case is, and the facts in it, which may still be unknown |
"""
