"""The work: what each step needs and changes, and the steps that make a set of boards run.

| module | what it answers |
| --- | --- |
| `setup` | a unit as it stands, every fact known |
| `transitions`, `loads` | when a step is refused, and what it changes |
| `plan` | the steps for one world, in the family's order |
| `merging` | the steps for all worlds: those that are always wanted, and those that are wanted if |
| `workers` | who does it |
"""
