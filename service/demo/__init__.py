"""The demo's world: an invented maker's catalogue, and a shop's ledger with boards that have a story."""
