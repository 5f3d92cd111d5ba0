"""Software of the boards: versions, ranges, which releases go together, and the order of loading them.

| module | what it answers |
| --- | --- |
| `versions`, `ranges` | which of two versions is newer, and whether one lies in a range |
| `releases` | what the catalogue says of the releases of each role |
| `task` | the boards, what is on them, and what is wanted |
| `facts` | the single statements that can stand in the way |
| `problem`, `compiling`, `blocks` | a task as bit masks, cut into blocks of boards that a need joins |
| `search`, by `cover`, `standing`, `beside` | the fewest loads from what is on the boards to an end |
| `bound` | how many steps are taken before an answer is left open |
| `sets` | which sets go together, and the newest of them that can be reached |
| `reaching`, `outcome` | which roles are joined, and what may come of a search |
| `starts` | every way in which the boards may start, and what becomes of it (rule 10 of fit) |
| `plans`, by `sequences` | the loads in their order, a plan for each case of what may be on the boards |
| `why_not` | where there is no plan, a smallest set of facts that rules it out |
"""
