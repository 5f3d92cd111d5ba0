"""How a language writes numbers, amounts and days, and what it calls the rows of a list of amounts."""

from __future__ import annotations

SAMPLE = "1,234.56"
"""A number with both of its marks."""
AMOUNT = "{currency}\u00a0{amount}"
"""An amount of money."""
DAY = "{year}-{month}-{day}"
"""A day, in digits."""
TAX = "tax {rate}%"
"""The row of the tax in a list of amounts."""
TAX_WITHIN = "of which tax {rate}%"
"""The same where the amounts have it in them."""
TO_PAY = "to pay ({currency})"
"""The row of what it comes to."""
