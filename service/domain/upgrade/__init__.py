"""What it takes until a unit can do more: the cheapest true way, or the proof that there is none.

| module | what it answers |
| --- | --- |
| `upgrading` | the whole answer, over every way the unknown facts may be |
| `standing`, `wanted`, `offers` | the unit as it stands, what is wanted, what can be had |
| `aim`, `approach` | what one plan is made for, and in which ways |
| `filling`, `ways`, `seats`, `accessories` | the ways to fill a place, and those that matter |
| `bringing` | rule 10: what is loaded until the boards of a block go together |
| `options`, by `working` | every way to fill a block that the rules allow, with its work and its cost |
| `task`, `framing`, `encoding`, `choosing` | the best choice of one option a block |
| `plans`, `quoting` | the plan that it comes to, and its price line by line |
| `gain`, `parcels` | what its packs are good for, and how they are shipped |
| `trading` | a new machine instead |
| `why_not` | where there is no plan, a smallest set of facts that rules it out |
"""
