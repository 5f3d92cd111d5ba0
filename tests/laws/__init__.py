"""The laws of the answer, each in a file named for it."""
