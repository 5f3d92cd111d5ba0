"""Which part to order: by model, role, function, number on the paper or number on the board."""
