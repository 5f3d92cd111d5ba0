"""Answers for a person at a terminal: a few plain lines, made from the same values as the JSON."""
