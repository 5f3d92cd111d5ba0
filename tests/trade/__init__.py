"""Everyday questions at the counter and what a careful dealer answers, each a file."""
