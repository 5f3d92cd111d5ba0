"""boardfit: which board goes into which unit, what must be programmed, and what it can do then."""
