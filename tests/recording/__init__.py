"""Which events may be recorded, by the laws of the work and the way boards went."""
