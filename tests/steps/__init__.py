"""The laws of plans: what is done to a machine, in which order."""
