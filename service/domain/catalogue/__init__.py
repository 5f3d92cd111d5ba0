"""The maker's papers and the dealer's list, as they are written and as they are asked.

| module | what it answers |
| --- | --- |
| `model`, `upgrades` | what a catalogue says |
| `compiled` | the same, ready for questions: parts closed under replacement, cells between breaks |
| `hub` | the unit of one world: model, market and cells, all known |
| `naming` | releases by name |
"""
