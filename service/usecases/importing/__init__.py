"""Boards, units and events taken in from files, line by line."""
