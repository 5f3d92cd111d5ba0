"""The ledger's event kinds and the fold over them."""
