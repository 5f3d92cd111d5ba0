"""Software of the boards."""
