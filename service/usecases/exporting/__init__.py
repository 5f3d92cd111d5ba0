"""Boards, units and events written to files that `importing` takes in again."""
