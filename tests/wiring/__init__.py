"""The parts of a process put together."""
