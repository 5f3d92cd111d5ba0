"""The command line: a module for each command, and what they share."""
