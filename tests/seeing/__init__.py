"""What is counted and logged, and what may never be."""
