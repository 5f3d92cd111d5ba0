"""What a change is good for: energy, time, area, and under which rules its pack is shipped.

| module | what it answers |
| --- | --- |
| `figures` | the single formulas; what is unknown stays unknown |
| `performance` | what a machine does in a day with its packs, and what a change adds to it |
| `shipping` | the shipping class of a lithium-ion pack by its watt-hours, from dated rules |
"""
