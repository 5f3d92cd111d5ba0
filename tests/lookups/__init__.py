"""What the bench and the counter look up: refusals, destinations, candidates."""
